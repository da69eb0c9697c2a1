"""The published JSON Schema of a project file.  ``python -m workbench.storage.schema`` writes it anew."""

from typing import Any

import msgspec

from workbench.base.files import write_atomically
from workbench.base.paths import resources
from workbench.document.project import FORMAT, SCHEMA_VERSION, Project

FILE = f"{FORMAT}-{SCHEMA_VERSION}.schema.json"


def project_schema() -> dict[str, Any]:
    """The schema, made from the same types that read a file; it allows keys it does not know, as reading does."""
    schema = msgspec.json.schema(Project)
    # A file has to say what it is, although a project in memory need not.
    project = schema["$defs"]["Project"]
    project["required"] = ["format", "schema_version", *project["required"]]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Pocketfare project, version {SCHEMA_VERSION}",
        **schema,
    }


def encoded_schema() -> bytes:
    """The bytes of the published file."""
    return msgspec.json.format(msgspec.json.encode(project_schema()), indent=2) + b"\n"


if __name__ == "__main__":
    write_atomically(resources() / "schema" / FILE, encoded_schema())
