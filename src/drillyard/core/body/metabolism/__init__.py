"""Metabolism: oxygen use, carbon dioxide, lactate, temperature."""
