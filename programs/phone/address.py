"""Whether a phone on the clinic's network can reach the address at which Calcar is served."""

from __future__ import annotations

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass

#: Below this stands all that a phone opens, and nothing else.
PATH = "/week/"
_HOW = (
    "Set CALCAR_TLS=1 behind a proxy that does TLS, and CALCAR_HOSTS to the name by which phones "
    "on the clinic's network reach it; both stand under “On the clinic's network” in the README."
)


@dataclass(frozen=True, kw_only=True)
class Served:
    """How the page was asked for, and how Calcar is set up.

    tls      it is set to be served by TLS
    secure   the page itself came by TLS
    host     the name in its address, with the port where there is one
    hosts    the names that it is set to be reached by
    """

    tls: bool
    secure: bool
    host: str
    hosts: Sequence[str]

    @property
    def short(self) -> str:
        """Return the address to be typed, without its scheme."""
        return f"{self.host}{PATH}"


def why_unreachable(served: Served) -> str:
    """Say why no phone can open this address, and what to set; nothing where one can."""
    name = _name(served.host)
    if not served.tls or not served.secure:
        return f"Calcar is not served by TLS here, so whatever a phone sends could be read. {_HOW}"
    if _is_this_machine(name):
        return (
            f"The address of this page, {name}, is that of this machine alone: no phone reaches "
            f"it. Open Calcar by the name that the clinic's network knows it by. {_HOW}"
        )
    if not any(_matches(name, one) for one in served.hosts):
        return f"The address of this page, {name}, is not among those that Calcar has. {_HOW}"
    return ""


def _name(host: str) -> str:
    """Return a host without its port."""
    if host.startswith("["):
        return host.partition("]")[0].removeprefix("[").lower()
    return host.partition(":")[0].lower().rstrip(".")


def _is_this_machine(name: str) -> bool:
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        return name == "localhost" or name.endswith(".localhost")
    return address.is_loopback or address.is_unspecified


def _matches(name: str, host: str) -> bool:
    """Tell whether a name is one that is set; ".clinic.example" stands for all below it."""
    host = host.strip().lower().strip("[]")
    if host.startswith("."):
        return name == host[1:] or name.endswith(host)
    return host in (name, "*")
