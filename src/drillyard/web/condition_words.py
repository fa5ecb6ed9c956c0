"""Conditions of a case as a person reads them on paper: "blood lost > 800 mL and phase at patient".

The conditions are Common Expression Language; only names, brackets and signs are put into words, nothing is worked out.
What has no words of its own stands as it was written.
"""

import re
from typing import Final

from drillyard.core.quantities.signals import SIGNALS
from drillyard.service.records import LabSettings
from drillyard.web.units import LABELS, scale_of

_CALLS: Final[dict[str, str]] = {
    "done": "“{}” done",
    "obtained": "{} obtained",
    "count": "times of “{}”",
    "first_s": "first “{}”",
    "last_s": "last “{}”",
    "since_s": "time since “{}”",
    "dose_mg": "{} given (mg)",
}
_TIMES: Final = frozenset({"t_s", "first_s", "last_s", "since_s"})
_TOKEN: Final = re.compile(
    r"""(?P<call>!?\s*(?:done|obtained|count|first_s|last_s|since_s|dose_mg))\["(?P<key>[^"]*)"\]"""
    r"""|(?P<phase>phase\s*(?P<sign>==|!=)\s*"(?P<name>[^"]*)")"""
    r"""|(?P<number>\d+(?:\.\d+)?)|(?P<word>[A-Za-z_]\w*)|(?:&&|\|\||[<>]=?|==|!=|!)|.""",
    re.DOTALL,
)
_SIGNS: Final[dict[str, str]] = {"&&": "and", "||": "or", "==": "is", "!=": "is not", "!": "not", "<=": "≤", ">=": "≥"}


def condition_words(condition: str, settings: LabSettings) -> str:
    """One condition in words, with numbers and units as this lab shows them."""
    said: list[str] = []
    about = ""
    for found in _TOKEN.finditer(" ".join(condition.split())):
        text = found.group()
        if found["call"]:
            about = found["call"].lstrip("! ")
            said.append(("not " if text.startswith("!") else "") + _CALLS[about].format(found["key"]))
        elif found["phase"]:
            said.append(f"phase {'is not ' if found['sign'] == '!=' else ''}{found['name']}")
        elif found["number"]:
            said.append(_number(float(text), about, settings))
        elif found["word"]:
            about = text
            said.append("time" if text == "t_s" else _name(text))
        elif not text.isspace():
            said.append(_SIGNS.get(text, text))
    return " ".join(said).replace("( ", "(").replace(" )", ")")


def _name(word: str) -> str:
    if word not in SIGNALS:
        return word
    if word in LABELS:
        label = LABELS[word]
        return label if label[1:2].isupper() or label == "pH" else label[:1].lower() + label[1:]
    if SIGNALS[word].unit != "1":
        return SIGNALS[word].meaning
    # Shares and scales: the meaning tells what 0 and 1 are, too long for a line of a card.
    return word.removesuffix("_frac").replace("gcs_", "GCS ").replace("_", " ")


def _number(value: float, about: str, settings: LabSettings) -> str:
    if about in _TIMES:
        return f"{int(value) // 60}:{int(value) % 60:02d}"
    if about not in SIGNALS or SIGNALS[about].unit == "1":
        return f"{value:g}"
    scale = scale_of(about, settings)
    shown = round(value * scale.factor + scale.offset, 2)
    return f"{shown:g}{'' if scale.unit.startswith('/') else ' '}{scale.unit}"
