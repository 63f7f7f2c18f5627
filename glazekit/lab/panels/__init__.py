"""The panels, one class each."""
