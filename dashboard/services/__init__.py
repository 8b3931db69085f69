"""What is done on somebody's behalf, from a page or a command: permitted first, noted in the audit trail after."""
