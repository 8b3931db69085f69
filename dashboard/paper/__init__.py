"""What the club has on paper: the player's page, the club's week, the session sheet, as tagged PDF."""
