"""Converts records to arrays, and defines the attributes and styles."""
