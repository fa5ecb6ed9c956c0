"""The surface ECG from cardiac events."""
