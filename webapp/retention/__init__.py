"""Permanent deletion of pictures some time after their record was deleted."""
