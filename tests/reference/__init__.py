"""Reference implementations that the tests compare the client with."""
