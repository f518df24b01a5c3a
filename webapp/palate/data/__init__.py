"""Records as arrays, and the space of attributes that they lie in."""
