"""From outside to the log: read a file or a form, screen every line, load a batch, withdraw it."""
