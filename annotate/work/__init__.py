"""Benchreel."""
