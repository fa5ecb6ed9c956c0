"""The public way to script the body."""
