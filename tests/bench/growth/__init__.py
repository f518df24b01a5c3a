"""What a request costs with 100 to 100,000 owners on one PostgreSQL server."""
