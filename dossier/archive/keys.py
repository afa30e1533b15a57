"""The office's own key, and its signature over a sealed bag (Ed25519, RFC 8032).

In: a key file and a bag. Out: a key pair, a detached signature, or whether one fits. Must not know what a
bag holds: the signature is over its tag manifest, which covers all the rest. Both keys are PEM files
(RFC 7468), so that other programs can check a signature as well.
"""

import os
from pathlib import Path

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives import serialization as forms
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from dossier.archive.bags import TAG_MANIFEST
from dossier.archive.names import SIGNATURE
from dossier.errors import CannotWrite, UnreadableInput

OFFICE_KEY = "keys/office"
"""Where an office's private key lies in the office folder, and with .pub the public one: what the office seals
is then signed without being asked to."""

_MOST_KEY_BYTES = 100_000
_RECORD = "job.yaml"


def make_keys(private: Path) -> Path:
    """Write a new private key, which only this user may read, and the public key beside it as NAME.pub.

    A folder that is not there yet is made, for this user alone. Returns the public key's place. Raises
    CannotWrite where either file is there already or the place lies in a job folder: a key must never travel
    with what it signs.
    """
    public = _public_of(private)
    refuse_in_a_job(private)
    _make_folder(private.parent)
    key = Ed25519PrivateKey.generate()
    secret = key.private_bytes(forms.Encoding.PEM, forms.PrivateFormat.PKCS8, forms.NoEncryption())
    told = key.public_key().public_bytes(
        forms.Encoding.PEM, forms.PublicFormat.SubjectPublicKeyInfo
    )
    made: list[Path] = []
    for path, data, rights in ((private, secret, 0o600), (public, told, 0o644)):
        try:
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, rights)
            made.append(path)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
        except OSError as problem:
            for half in made:
                half.unlink(missing_ok=True)
            raise CannotWrite(
                f"{path} could not be written: {problem.strerror}.",
                "Name a new file; an old key is never written over, since what it signed could not be "
                "checked any more."
                if isinstance(problem, FileExistsError)
                else "Name a place where this user may write.",
            ) from problem
    return public


def _make_folder(folder: Path) -> None:
    """Make the folder of a key where it is not there, and each above it that is not; this user's alone."""
    missing = []
    while not os.path.lexists(folder):
        missing.append(folder)
        folder = folder.parent
    for path in reversed(missing):
        try:
            path.mkdir(mode=0o700, exist_ok=True)
        except OSError as problem:
            raise CannotWrite(
                f"The folder {path} could not be made: {problem.strerror}.",
                "Name a place where this user may write.",
            ) from problem


def refuse_in_a_job(path: Path) -> None:
    """Raise CannotWrite for a key inside a job folder."""
    place = path.resolve()
    home = next((above for above in place.parents if os.path.lexists(above / _RECORD)), None)
    if home is not None:
        raise CannotWrite(
            f"{path} lies in the job folder {home}, and a key there would be copied with the job.",
            "Keep the private key outside every job folder, where few people can read it.",
        )


def private_key(path: Path) -> Ed25519PrivateKey:
    """Return the office's private key; raises UnreadableInput where the file holds none."""
    refuse_in_a_job(path)
    try:
        key = forms.load_pem_private_key(_bytes_of(path), password=None)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, Ed25519PrivateKey):
        raise UnreadableInput(
            f"{path} holds no private key of the kind Ed25519 without a password.",
            "Name the file that dossier key wrote.",
        )
    return key


def office_key(office: Path | None) -> Ed25519PrivateKey | None:
    """Return the key an office signs with, None where it has none.

    office: the office folder, None where there is none. Raises UnreadableInput where only the public half is
    there, since an entry that is not signed among signed ones is a fault.
    """
    if office is None:
        return None
    private = office / OFFICE_KEY
    if os.path.lexists(private):
        return private_key(private)
    public = _public_of(private)
    if os.path.lexists(public):
        raise UnreadableInput(
            f"This office signs what it seals ({public} is there), and its private key {private} is not.",
            "Put the private key there while you seal. Sealing the closing also takes it from elsewhere, --sign "
            "FILE, or goes without: --unsigned",
        )
    return None


def office_public_key(office: Path | None) -> tuple[Path, Ed25519PublicKey] | None:
    """Return where the public key of an office lies, and the key; None where it has none that can be read."""
    if office is None:
        return None
    public = _public_of(office / OFFICE_KEY)
    try:
        return (public, public_key(public)) if public.is_file() else None
    except (OSError, UnreadableInput):
        return None


def _public_of(private: Path) -> Path:
    return private.with_name(f"{private.name}.pub")


def public_key(path: Path) -> Ed25519PublicKey:
    """Return the office's public key; raises UnreadableInput where the file holds none."""
    try:
        key = forms.load_pem_public_key(_bytes_of(path))
    except (ValueError, TypeError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, Ed25519PublicKey):
        raise UnreadableInput(
            f"{path} holds no public key of the kind Ed25519.",
            "Name the file ending in .pub that dossier key wrote, from a place of its own.",
        )
    return key


def sign(bag: Path, key: Ed25519PrivateKey) -> None:
    """Write the signature of a whole bag into it; raises OSError."""
    signature = key.sign((bag / TAG_MANIFEST).read_bytes())
    with (bag / SIGNATURE).open("xb") as file:
        file.write(signature)
        file.flush()
        os.fsync(file.fileno())


def signature_fault(bag: Path, key: Ed25519PublicKey) -> str | None:
    """Return why the signature in a bag is not this key's over its tag manifest; None where it is."""
    try:
        key.verify((bag / SIGNATURE).read_bytes(), (bag / TAG_MANIFEST).read_bytes())
    except FileNotFoundError:
        return "carries no signature"
    except OSError as problem:
        return f"carries a signature that cannot be read: {problem.strerror}"
    except InvalidSignature:
        return "carries a signature that this key did not make over it as it is now"
    return None


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(_MOST_KEY_BYTES)
    except OSError as problem:
        raise UnreadableInput(
            f"The key {path} cannot be read: {problem.strerror}.", "Name the key file."
        ) from problem
