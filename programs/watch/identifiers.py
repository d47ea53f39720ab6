"""How a paper is named for good: its DOI, PubMed number or archive number, found in a text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

#: Each kind of name, and how a text gives it; a name is written "kind:value".
_KINDS = (
    ("doi", re.compile(r"\b(10\.\d{4,9}/[^\s;,()·\"'<>’”]+)", re.IGNORECASE)),
    ("pmid", re.compile(r"\bPMID:? ?(\d{1,9})\b", re.IGNORECASE)),
    ("pmc", re.compile(r"\bPMC(\d{1,9})\b", re.IGNORECASE)),
    ("nbk", re.compile(r"\bNBK(\d{1,9})\b", re.IGNORECASE)),
)
#: The form of a name as a file of the watch writes it.
NAME = re.compile(r"(doi:10\.\d{4,9}/\S{1,180}|(?:pmid|pmc|nbk):\d{1,9})")
#: Papers that declarations give by journal and page alone, or by the end of their DOI: read in
#: their own pages or in lists of references; the start of a DOI is its publisher's.
_BY_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "J Bone Miner Res 33:211": "doi:10.1002/jbmr.3284",
        "s40279-019-01243-1": "doi:10.1007/s40279-019-01243-1",
        "s11556-022-00285-1": "doi:10.1186/s11556-022-00285-1",
        "s-0038-1630099": "doi:10.1055/s-0038-1630099",
        "BMC Musculoskelet Disord 2006;7:92": "doi:10.1186/1471-2474-7-92",
        "J Bone Miner Res 2004;19:352": "doi:10.1359/jbmr.0301245",
        "JBMR 19:352": "doi:10.1359/jbmr.0301245",
        "Front Physiol 2019;10:1122": "doi:10.3389/fphys.2019.01122",
        "Arch Phys Med Rehabil 2007;88:852": "pmid:17601464",
        "Osteoporos Int 2014;25:1785": "pmid:24676848",
        "J Bone Miner Res 2015;30:1319": "doi:10.1002/jbmr.2448",
        "Clin Interv Aging 2013;8:1603": "doi:10.2147/cia.s53591",
    }
)
#: Another name of the same paper, and the one that it goes by here.
_SAME: Mapping[str, str] = MappingProxyType(
    {
        "pmid:31543827": "doi:10.3389/fphys.2019.01122",
        "pmc:5101068": "doi:10.1007/s00198-013-2523-2",
        "pmid:28975661": "doi:10.1002/jbmr.3284",
    }
)


def names_in(text: str) -> tuple[str, ...]:
    """Return the names of the papers that a text gives, each once, in its order of kinds."""
    found = [
        f"{kind}:{value.rstrip('.').lower()}"
        for kind, form in _KINDS
        for value in form.findall(text)
    ]
    found += [name for words, name in _BY_WORDS.items() if words in text]
    return tuple(dict.fromkeys(goes_by(name) for name in found))


def goes_by(name: str) -> str:
    """Return the one name by which a paper goes here."""
    return _SAME.get(name, name)


def shown(name: str) -> str:
    """Return a name as a page shows it."""
    kind, _, value = name.partition(":")
    return {"doi": f"doi {value}", "pmid": f"PMID {value}"}.get(kind, f"{kind.upper()}{value}")
