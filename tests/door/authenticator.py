"""A device with passkeys, made of plain cryptography after W3C WebAuthn Level 2, 6.1 and 6.5: what browsers send."""

import json
import secrets
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

import cbor2
from cryptography.hazmat.primitives.asymmetric.ec import ECDSA, SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

PRESENT, VERIFIED, WITH_KEY = 0x01, 0x04, 0x40
"""Flags of the authenticator data (6.1)."""


@dataclass
class Device:
    """One passkey. What it says can be bent, as an attacker would."""

    origin: str = "http://localhost:8501"
    rp: str = "localhost"
    flags: int = PRESENT | VERIFIED
    count: int = 0
    credential: bytes = field(default_factory=lambda: secrets.token_bytes(32))
    key: EllipticCurvePrivateKey = field(default_factory=lambda: generate_private_key(SECP256R1()))

    def make(self, options: dict[str, Any]) -> dict[str, Any]:
        """The answer to a question for a new key, without attestation."""
        told = self._told("webauthn.create", options["challenge"])
        attested = (
            bytes(16) + len(self.credential).to_bytes(2, "big") + self.credential + cbor2.dumps(self._public_key())
        )
        made = {"fmt": "none", "attStmt": {}, "authData": self._data(self.flags | WITH_KEY) + attested}
        return self._answer(clientDataJSON=told, attestationObject=cbor2.dumps(made))

    def sign(self, options: dict[str, Any]) -> dict[str, Any]:
        """The answer to a challenge."""
        self.count += 1
        told, data = self._told("webauthn.get", options["challenge"]), self._data(self.flags)
        signature = self.key.sign(data + sha256(told).digest(), ECDSA(SHA256()))
        return self._answer(clientDataJSON=told, authenticatorData=data, signature=signature)

    def _told(self, kind: str, challenge: str) -> bytes:
        return json.dumps({"type": kind, "challenge": challenge, "origin": self.origin}).encode()

    def _data(self, flags: int) -> bytes:
        return sha256(self.rp.encode()).digest() + bytes([flags]) + self.count.to_bytes(4, "big")

    def _public_key(self) -> dict[int, Any]:
        """COSE (RFC 9053): a key of the curve P-256 for ES256."""
        numbers = self.key.public_key().public_numbers()
        return {1: 2, 3: -7, -1: 1, -2: numbers.x.to_bytes(32, "big"), -3: numbers.y.to_bytes(32, "big")}

    def _answer(self, **response: bytes) -> dict[str, Any]:
        name = bytes_to_base64url(self.credential)
        said = {part: bytes_to_base64url(value) for part, value in response.items()}
        return {"id": name, "rawId": name, "type": "public-key", "response": said}


def challenge_of(answer: dict[str, Any]) -> bytes:
    """What was signed."""
    return base64url_to_bytes(json.loads(base64url_to_bytes(answer["response"]["clientDataJSON"]))["challenge"])
