"""Pictures from plain values."""
