"""A YAML file as people write it: read with comments and line numbers, changed in place, saved whole or not at all."""

import hashlib
import io
import os
import re
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.constructor import DuplicateKeyError
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from drillyard.core.quantities.faults import Fault, Place, Refusal

LARGEST_BYTES: Final = 2_000_000
_STEP: Final = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


def _yaml(*, allow_duplicate_keys: bool = False) -> YAML:
    yaml = YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 110
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.allow_duplicate_keys = allow_duplicate_keys
    return yaml


@dataclass
class Document:
    """One file.  ``data`` is its tree (``None`` where it cannot be read); ``faults`` what is wrong with the text.

    ``path`` is where it lies on disk, ``file`` how faults name it (relative to the lab folder).
    """

    path: Path
    file: str
    text: str = ""
    data: CommentedMap | None = None
    faults: list[Fault] = field(default_factory=list)

    @staticmethod
    def read(path: Path, file: str = "") -> "Document":
        """Reads a file; what is wrong with it is in ``faults``, nothing is raised."""
        document = Document(path=path, file=file or path.name)
        try:
            raw = path.read_bytes()
        except OSError as error:
            said = f"the file cannot be read ({error.strerror or error})"
            document.faults.append(Fault(code="unreadable", said=said, place=Place(file=document.file)))
            return document
        if len(raw) > LARGEST_BYTES:
            said = f"the file has {len(raw)} bytes"
            allowed = f"at most {LARGEST_BYTES} bytes"
            document.faults.append(Fault(code="too large", said=said, place=Place(file=document.file), allowed=allowed))
            return document
        try:
            document.text = raw.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = raw[: error.start].count(b"\n") + 1
            place = Place(file=document.file, line=line)
            remedy = "save it as UTF-8"
            document.faults.append(Fault(code="not UTF-8", said="the text is not UTF-8", place=place, remedy=remedy))
            return document
        document._parse()
        return document

    @staticmethod
    def of_text(text: str, file: str) -> "Document":
        """A file whose text is at hand already, such as the copy that a run pinned."""
        document = Document(path=Path(file), file=file, text=text)
        document._parse()
        return document

    def _parse(self) -> None:
        try:
            data = _yaml().load(self.text)
        except DuplicateKeyError as error:
            mark = error.problem_mark
            key = re.search(r'duplicate key "([^"]*)"', str(error.problem))
            said = f"the key '{key[1] if key else '?'}' stands twice"
            self._fault("key twice", said, mark, "keep one of them")
            data = _yaml(allow_duplicate_keys=True).load(self.text)
        except MarkedYAMLError as error:
            problem = (error.problem or "not readable").strip().splitlines()[0]
            said = f"this is not YAML: {problem}"
            self._fault(
                "not YAML", said, error.problem_mark, "check indents, colons and quotes on this line and above it"
            )
            return
        except (YAMLError, ValueError, RecursionError) as error:
            said = f"this is not YAML: {str(error).splitlines()[0]}"
            self._fault("not YAML", said, None, "check indents, colons and quotes")
            return
        if isinstance(data, CommentedMap):
            self.data = data
        else:
            self._fault("not YAML", "the file holds no 'key: value' lines", None, "begin it with 'format: 1'")

    def _fault(self, code: str, said: str, mark: Any, remedy: str) -> None:
        place = Place(file=self.file, line=mark.line + 1, column=mark.column + 1) if mark else Place(file=self.file)
        self.faults.append(Fault(code=code, said=said, place=place, remedy=remedy))

    def set(self, path: str, value: Any) -> None:
        """Changes one value of the tree; comments around it stay.  ``path`` as in faults: ``cues[2].words``.

        Raises:
            Refusal: there is no such place.
        """
        node: Any = self.data
        steps = [name or int(index) for name, index in _STEP.findall(path)]
        for step in steps[:-1]:
            node = self._into(node, step, path)
        last = steps[-1]
        if isinstance(last, int) and isinstance(node, CommentedSeq) and last == len(node):
            node.append(value)
        elif isinstance(last, str) and isinstance(node, CommentedMap):
            node[last] = value
        else:
            self._into(node, last, path)
            node[last] = value

    def _into(self, node: Any, step: str | int, path: str) -> Any:
        is_there = (
            step in node if isinstance(node, CommentedMap)
            else isinstance(step, int) and isinstance(node, CommentedSeq) and step < len(node)
        )  # fmt: skip
        if not is_there:
            raise Refusal(Fault(code="no such place", said=f"there is no '{path}'", place=Place(file=self.file)))
        return node[step]

    def to_text(self) -> str:
        """The tree as YAML, comments included."""
        out = io.StringIO()
        _yaml().dump(self.data, out)
        return out.getvalue()

    def save(self) -> None:
        """Writes the tree: to a temporary file, to disk, then in one step over the old one.

        Raises:
            Refusal: the file was changed by somebody else since it was read, or cannot be written.
        """
        text = self.to_text()
        save_text(self.path, text, was=self.text, file=self.file)
        self.text = text


def text_hash(text: str) -> str:
    """A name for the content of a file."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def save_text(path: Path, text: str, was: str | None, file: str = "") -> None:
    """Writes a whole file or nothing.

    Args:
        path: where.
        text: the new content.
        was: the content it is expected to replace; ``None``: there must be no such file yet.
        file: how faults name the file.

    Raises:
        Refusal: what lies there is not what was expected, or it cannot be written.
    """
    name = file or path.name
    try:
        on_disk = path.read_bytes().decode("utf-8-sig", errors="replace") if path.exists() else None
        if on_disk != was:
            said = (
                "the file has been changed elsewhere since it was read"
                if was is not None
                else "the file is already there"
            )
            remedy = "load it again and repeat your change; nothing was overwritten"
            raise Refusal(Fault(code="changed elsewhere", said=said, place=Place(file=name), remedy=remedy))
        _write_through(path, text)
    except OSError as error:
        said = f"the file cannot be written ({error.strerror or error})"
        remedy = "free some space or ask for the right to write here; the old file is as it was"
        raise Refusal(Fault(code="not written", said=said, place=Place(file=name), remedy=remedy)) from error


def _write_through(path: Path, text: str) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".new")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        Path(temporary).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
