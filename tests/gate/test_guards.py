"""The guards of the tests themselves."""

import socket

import pytest

from tests.conftest import WayOut


def test_no_connection_leaves_this_machine() -> None:
    with socket.socket() as out, pytest.raises(WayOut):
        out.connect(("192.0.2.1", 443))  # an address kept for documentation (RFC 5737)
    with socket.socket() as out, pytest.raises(WayOut):
        out.connect_ex(("192.0.2.1", 443))


def test_no_name_is_looked_up() -> None:
    with pytest.raises(WayOut):
        socket.getaddrinfo("example.org", 443)


def test_this_machine_can_be_reached() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server, socket.socket() as client:
        client.connect(server.getsockname())
