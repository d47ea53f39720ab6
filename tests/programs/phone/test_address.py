"""No code for an address that no phone can reach; the page says why and what to set."""

from typing import Any

import pytest

from programs.phone.address import Served, why_unreachable

NAME = "calcar.clinic.example"


def served(**more: Any) -> Served:
    held: dict[str, Any] = {"tls": True, "secure": True, "host": NAME, "hosts": [NAME]}
    return Served(**held | more)


@pytest.mark.parametrize(
    ("host", "hosts"),
    [
        (NAME, [NAME]),
        (f"{NAME}:8443", ["other.example", NAME.upper()]),
        (NAME, [".clinic.example"]),
        ("clinic.example", [".clinic.example"]),
        (NAME, ["*"]),
        ("192.0.2.7", ["192.0.2.7"]),
        ("[2001:db8::7]:443", ["[2001:db8::7]"]),
    ],
)
def test_by_tls_and_by_a_name_of_its_own_a_phone_reaches_it(host: str, hosts: list[str]) -> None:
    assert why_unreachable(served(host=host, hosts=hosts)) == ""


@pytest.mark.parametrize("more", [{"tls": False}, {"secure": False}])
def test_without_tls_it_says_so(more: dict[str, Any]) -> None:
    told = why_unreachable(served(**more))
    assert "not served by TLS" in told
    assert "CALCAR_TLS=1" in told


@pytest.mark.parametrize(
    "host",
    [
        "localhost",
        "LOCALHOST:8765",
        "127.0.0.1",
        "127.8.0.1:80",
        "[::1]:8765",
        "0.0.0.0",
        "a.localhost",
    ],
)
def test_this_machine_alone_is_no_address_for_a_phone(host: str) -> None:
    told = why_unreachable(served(host=host, hosts=["*"]))
    assert "this machine alone" in told
    assert "CALCAR_HOSTS" in told


@pytest.mark.parametrize("hosts", [[], ["other.example"], [".other.example"]])
def test_a_name_that_is_not_set_is_named(hosts: list[str]) -> None:
    told = why_unreachable(served(hosts=hosts))
    assert f"{NAME}, is not among" in told


def test_the_short_address_has_no_scheme() -> None:
    assert served().short == f"{NAME}/week/"
