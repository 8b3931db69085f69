"""Every face of Halflong: the screens and the command line. No arithmetic here."""
