"""The provider is asked over TLS, and only where its certificate is one that this machine trusts."""

import asyncio
import ipaddress
import ssl
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

import httpx2
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from dashboard.door.provider import _client
from dashboard.door.settings import SECRET_VARIABLE, Provider


class Answering(BaseHTTPRequestHandler):
    """What a provider says of itself."""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.end_headers()
        self.wfile.write(b'{"issuer": "https://127.0.0.1"}')

    def log_message(self, *_: Any) -> None:
        """Nothing."""


def own_certificate(place: Path) -> tuple[Path, Path]:
    """A certificate for 127.0.0.1 that nobody but its maker has signed, and its key."""
    key, name = ec.generate_private_key(ec.SECP256R1()), x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "made up")])
    now, here = datetime.now(UTC), x509.IPAddress(ipaddress.ip_address("127.0.0.1"))
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1))
        .not_valid_after(now + timedelta(hours=1))
        .add_extension(x509.SubjectAlternativeName([here]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    certificate, secret = place / "certificate.pem", place / "key.pem"
    certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    form = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    secret.write_bytes(key.private_bytes(*form))
    return certificate, secret


@pytest.fixture
def made_up(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """The address of a provider with such a certificate, and the certificate."""
    certificate, key = own_certificate(tmp_path)
    server = HTTPServer(("127.0.0.1", 0), Answering)
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(certificate, key)
    server.socket = tls.wrap_socket(server.socket, server_side=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"https://127.0.0.1:{server.server_port}", certificate
    server.shutdown()
    server.server_close()


def test_a_provider_whose_certificate_nobody_vouches_for_is_not_asked(
    made_up: tuple[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(SECRET_VARIABLE, "a secret of the tests only")
    issuer, certificate = made_up
    client = _client(Provider(issuer=issuer, client_id="halflong-tests"))
    with ThreadPoolExecutor(1) as thread, pytest.raises(httpx2.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
        thread.submit(asyncio.run, client.load_server_metadata()).result()

    trusting = ssl.create_default_context(cafile=str(certificate))
    assert httpx2.get(issuer, verify=trusting, trust_env=False).status_code == 200, (
        "there is nothing else wrong with it"
    )
