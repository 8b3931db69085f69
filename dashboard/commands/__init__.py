"""The commands of `halflong`, by what they are about."""
