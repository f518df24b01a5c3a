"""Measures the label reader on invented labels and lists."""
