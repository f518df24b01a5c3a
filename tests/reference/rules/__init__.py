"""Rules of the trade and of law over the data of ``static/spec``.

Everything here is a function of its arguments and of those files: no Flask, no SQL, no clock. Dates
come in as arguments; codes and numbers go out, never sentences. What a phone needs offline has its
twin in ``static/trade`` under the same name, held equal by ``tests/vectors``.
"""
