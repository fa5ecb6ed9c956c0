"""A kit list: what lies in the bags, so that sizes can be checked and counts closed."""

from dataclasses import dataclass

from drillyard.core.scenario.model import BoxDrug

FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class KitItem:
    """One kind of thing in the kit.

    ``procedures`` are those it is used for, in the words of the log ("place airway tracheal tube"), with the sites
    it is meant for (none: any).  ``size_mm`` is an inner diameter, ``gauge`` the printed needle size; exactly the
    limits of the manikin's procedure at that site apply to it and no other.
    """

    name: str
    count: int
    procedures: tuple[str, ...] = ()
    sites: tuple[str, ...] = ()
    size_mm: float | None = None
    gauge: int | None = None
    volume_ml: float | None = None
    sharp: bool = False
    used_up: bool = False
    training_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """``name`` is the file's name without ending."""

    format: int
    name: str
    title: str
    items: tuple[KitItem, ...]
    drug_box: tuple[BoxDrug, ...] = ()
    notes: tuple[str, ...] = ()
