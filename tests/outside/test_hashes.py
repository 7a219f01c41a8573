"""The hashes of the chain, against published SHA-256 vectors and another program.

Source: NIST FIPS 180-4 examples (one block, two blocks, a million times "a") and CAVP
SHA256ShortMsg.rsp (lengths 0, 8 and 16). From memory.
"""

import shutil
import subprocess

import pytest

from bot.record.link import link

FIPS_180_4 = [
    ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    ("a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
]
EMPTY = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


@pytest.mark.parametrize(("message", "digest"), FIPS_180_4, ids=["one", "two", "million"])
@pytest.mark.parametrize("cut", [0, 1, 2])
def test_a_link_is_the_published_hash_of_what_is_before_and_what_is_said(
    message: str, digest: str, cut: int
) -> None:
    assert link(message[:cut], message[cut:]) == digest


def test_nothing_after_nothing_is_the_published_hash_of_nothing() -> None:
    assert link("", "") == EMPTY


def test_what_is_said_counts_in_utf_8() -> None:
    # CAVP has no text beyond ASCII: the bytes are spelled out and hashed by another program.
    program = shutil.which("sha256sum")
    if program is None:
        pytest.skip("No sha256sum on this machine.")
    said = b"\xe2\x82\xac 5"

    told = subprocess.run([program], input=b"0" * 64 + said, capture_output=True, check=True)

    assert link("0" * 64, said.decode()) == told.stdout.decode().split()[0]
