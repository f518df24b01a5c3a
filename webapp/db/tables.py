"""The tables. Every row of a book carries its owner; JSON stands as text, passed on as it is."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)

# One row: which database this is. A phone that meets another epoch offers everything again.
safe = Table(
    "safe",
    metadata,
    Column("id", Integer, CheckConstraint("id = 1", name="one_row"), primary_key=True),
    Column("epoch", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)

# seq is the last sequence number given out for this owner, never used twice; the row is the lock
# under which numbers are given out. max_clock_ms is the latest clock in the book. uid is what a
# phone knows the owner by; passphrase is an argon2id hash, null where none has been set.
owner = Table(
    "owner",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("uid", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False, unique=True),
    Column("passphrase", Text),
    Column("seq", BigInteger, nullable=False),
    Column("max_clock_ms", BigInteger, nullable=False),
    Column("made_at", Text, nullable=False),
)


def _owner_column() -> Column[int]:
    return Column("owner_id", Integer, ForeignKey("owner.id"), primary_key=True)


# tokens: JSON list of the last sync sessions, see sync/session.py.
device = Table(
    "device",
    metadata,
    _owner_column(),
    Column("id", Text, primary_key=True),
    Column("last_seen", Text, nullable=False),
    Column("tokens", Text, nullable=False),
)

record = Table(
    "record",
    metadata,
    _owner_column(),
    Column("kind", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("seq", BigInteger, nullable=False),
    Column("fields", Text, nullable=False),
    Column("clocks", Text, nullable=False),
    Column("deleted", Boolean(create_constraint=False), nullable=False),
    Column("deleted_clock", Text),
    UniqueConstraint("owner_id", "seq"),
)

# What merges overruled. The digest of the value stands in the key because values may be long.
revision = Table(
    "revision",
    metadata,
    _owner_column(),
    Column("kind", Text, primary_key=True),
    Column("record_id", Text, primary_key=True),
    Column("field", Text, primary_key=True),
    Column("clock", Text, primary_key=True),
    Column("digest", Text, primary_key=True),
    Column("value", Text, nullable=False),
    Column("overruled_at", BigInteger),
)

# The bytes stand in a folder under their SHA-256; see photos/storage.py.
photo_bytes = Table(
    "photo_bytes",
    metadata,
    _owner_column(),
    Column("id", Text, primary_key=True),
    Column("sha256", Text, nullable=False),
    Column("media_type", Text, nullable=False),
    Column("width_px", Integer, nullable=False),
    Column("height_px", Integer, nullable=False),
    Column("bytes", BigInteger, nullable=False),
    Column("kept_at", Text, nullable=False),
)

# A phone or browser that is, or was, signed in; see auth/sessions.py. `device` is the sync
# device that it last spoke as. ended_as: signed_out, revoked, passphrase or upgrade. key_hash is of
# the key that the browser keeps outside of its cookies; confirmed_at is when the passphrase was
# last shown; events_seen is the last account_event that the device was told of; passkey is the id
# of the passkey that it was started with.
sign_in = Table(
    "sign_in",
    metadata,
    Column("id", Text, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), nullable=False, index=True),
    Column("token_hash", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("device", Text),
    Column("made_at", BigInteger, nullable=False),
    Column("last_seen", BigInteger, nullable=False),
    Column("ended_at", BigInteger),
    Column("ended_as", Text),
    Column("key_hash", Text),
    Column("confirmed_at", BigInteger),
    Column("events_seen", Integer),
    Column("passkey", Text),
)

# An offer to sign a phone in without a passphrase; see auth/pairing.py. sign_in_id is null for
# one made at the machine itself.
pairing = Table(
    "pairing",
    metadata,
    Column("id", Text, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), nullable=False, index=True),
    Column("secret_hash", Text, nullable=False, unique=True),
    Column("until", BigInteger, nullable=False),
    Column("code", Text),
    Column("claim_hash", Text, unique=True),
    Column("name", Text),
    Column("allowed", Boolean(create_constraint=False), nullable=False),
    Column("sign_in_id", Text),
)

# A public key with which its owner may sign in; see auth/passkeys.py. credential_id, public_key and
# user_handle are base64url; host is the name that it works under; key_hash is of the key of the
# browser that added it.
passkey = Table(
    "passkey",
    metadata,
    Column("id", Text, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), nullable=False, index=True),
    Column("credential_id", Text, nullable=False, unique=True),
    Column("public_key", Text, nullable=False),
    Column("sign_count", BigInteger, nullable=False),
    Column("user_handle", Text, nullable=False),
    Column("host", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("key_hash", Text, nullable=False),
    Column("made_at", BigInteger, nullable=False),
    Column("last_used", BigInteger),
)

# What an authenticator is to sign, once; see auth/passkey_challenges.py. One for adding a passkey
# names the owner, the sign-in and the user handle, one for signing in does not.
passkey_challenge = Table(
    "passkey_challenge",
    metadata,
    Column("challenge_hash", Text, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), index=True),
    Column("sign_in_id", Text),
    Column("user_handle", Text),
    Column("key_hash", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("until", BigInteger, nullable=False),
)

# How often something was done or tried, and when the count began or last grew (seconds of the
# epoch); see auth/counters.py.
tally = Table(
    "tally",
    metadata,
    Column("key", Text, primary_key=True),
    Column("used", Integer, nullable=False),
    Column("at_s", BigInteger, nullable=False),
)

# What the owner's devices are told of: a new sign-in (kind "device"), a new passphrase (kind
# "passphrase") or a new passkey (kind "passkey"); see auth/account_events.py.
account_event = Table(
    "account_event",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), nullable=False, index=True),
    Column("kind", Text, nullable=False),
    Column("sign_in_id", Text),
    Column("name", Text, nullable=False),
    Column("at_s", BigInteger, nullable=False),
)

# What remains of an erased owner: hashes of tokens, so that their devices can be told, and the
# number, so that nobody gets it again; see auth/erasure.py.
erased = Table(
    "erased",
    metadata,
    Column("key", Text, primary_key=True),
    Column("at_s", BigInteger, nullable=False),
)
