"""The tables. Every row of a notebook has its owner's id; JSON is stored as text."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    LargeBinary,
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

# One row that identifies this database. A phone that finds another epoch sends everything again.
safe = Table(
    "safe",
    metadata,
    Column("id", Integer, CheckConstraint("id = 1", name="one_row"), primary_key=True),
    Column("epoch", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)


def fold_name(name: str) -> str:
    """Return an owner's name without case, by which it is found."""
    return name.casefold()


def _folded(context: Any) -> str:
    return fold_name(context.get_current_parameters()["name"])


# seq is the last sequence number assigned for this owner; locking the row serializes assignment.
# guest_seq: how many of them were used for what guests wrote and no other guest sees, so that
# seq - guest_seq is the version of what guests see; see group_tasting/guests.py.
# max_clock_ms is the latest clock of the owner's records. Phones identify the owner by uid.
# passphrase is an argon2id hash, null if none is set. folded_name: name without case; whoever
# changes the name changes it too.
owner = Table(
    "owner",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("uid", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False, unique=True),
    Column("folded_name", Text, nullable=False, index=True, default=_folded, server_default=""),
    Column("passphrase", Text),
    Column("seq", BigInteger, nullable=False),
    Column("guest_seq", BigInteger, nullable=False, server_default="0"),
    Column("max_clock_ms", BigInteger, nullable=False),
    Column("made_at", Text, nullable=False),
)


def _owner_column() -> Column[int]:
    return Column("owner_id", Integer, ForeignKey("owner.id"), primary_key=True)


# tokens: JSON list of the last sync tokens; see sync/session.py.
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

# Superseded values. The key contains a digest of the value, because values may be long.
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

# Pictures; the bytes are files named by their SHA-256, see photos/storage.py.
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

# A phone or browser that is, or was, signed in; see auth/sessions.py. device: its sync device id.
# ended_as: signed_out, revoked, passphrase or upgrade. key_hash: hash of the browser's key, which
# is not in a cookie. confirmed_at: when the passphrase was last entered. events_seen: id of the
# last account_event read on the device. passkey: id of the passkey it signed in with.
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

# An offer to sign a phone in by QR code; see auth/pairing.py. sign_in_id is null if it was made on
# the machine itself.
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

# A public key with which its owner may sign in; see auth/passkeys.py. credential_id, public_key,
# user_handle: base64url. host: the host name it is valid for. key_hash: hash of the key of the
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

# A challenge that an authenticator signs once; see auth/passkey_challenges.py. Owner, sign-in and
# user handle are set if it is for adding a passkey, null if it is for signing in.
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

# The invitation to a led tasting; see group_tasting/invitations.py. nonce: from which each of the
# leader's browsers derives its secret with its own key. made_at: seconds of the epoch.
group_invitation = Table(
    "group_invitation",
    metadata,
    _owner_column(),
    Column("group_tasting", Text, primary_key=True),
    Column("code", Text, nullable=False, unique=True),
    Column("nonce", Text, nullable=False),
    Column("made_at", BigInteger, nullable=False),
)

# The secrets of an invitation, as hashes: one for each browser that showed the invitation.
group_invitation_secret = Table(
    "group_invitation_secret",
    metadata,
    Column("secret_hash", Text, primary_key=True),
    Column("owner_id", Integer, ForeignKey("owner.id"), nullable=False, index=True),
    Column("group_tasting", Text, nullable=False),
    Column("made_at", BigInteger, nullable=False),
)

# A guest of a led tasting who joined with a phone; see group_tasting/guests.py. guest: id of the
# guest's record. key_hash: hash of the phone's key; with nonce it gives the token. writes: how
# often the guest changed something. until: when the token expires. ended_as: removed, left or
# forgotten. seen_at: seconds of the epoch when the phone asked, noted now and then.
group_guest_token = Table(
    "group_guest_token",
    metadata,
    _owner_column(),
    Column("group_tasting", Text, primary_key=True),
    Column("guest", Text, primary_key=True),
    Column("token_hash", Text, nullable=False, unique=True),
    Column("key_hash", Text, nullable=False),
    Column("nonce", Text, nullable=False),
    Column("writes", BigInteger, nullable=False),
    Column("made_at", BigInteger, nullable=False),
    Column("until", BigInteger, nullable=False),
    Column("ended_as", Text),
    Column("seen_at", BigInteger),
)

# The last learned palate of an owner (person is empty) or of a person, shared by the processes; see
# records/palate_documents.py. packed: the JSON, compressed by zlib; null while a process learns
# what etag names, which it may do until until_s.
palate_document = Table(
    "palate_document",
    metadata,
    _owner_column(),
    Column("person", Text, primary_key=True),
    Column("etag", Text, nullable=False),
    Column("until_s", BigInteger, nullable=False),
    Column("packed", LargeBinary),
)

# Counters of attempts and requests. at_s: start of the window or time of the last attempt (seconds
# of the epoch); see auth/counters.py.
tally = Table(
    "tally",
    metadata,
    Column("key", Text, primary_key=True),
    Column("used", Integer, nullable=False),
    Column("at_s", BigInteger, nullable=False, index=True),
)

# An owner's last sequence number of a day, and when it was stored; see retention/daily_seq.py.
# day: days of the epoch.
daily_seq = Table(
    "daily_seq",
    metadata,
    _owner_column(),
    Column("day", BigInteger, primary_key=True),
    Column("seq", BigInteger, nullable=False),
    Column("at_s", BigInteger, nullable=False),
)

# Events that the owner's devices show: a new sign-in (kind "device"), a new passphrase (kind
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

# Remains of an erased owner: hashes of tokens, so that the devices get a specific error, and the
# id, so that it is not assigned again; see auth/erasure.py.
erased = Table(
    "erased",
    metadata,
    Column("key", Text, primary_key=True),
    Column("at_s", BigInteger, nullable=False),
)
