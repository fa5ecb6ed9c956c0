"""Two names: who signs for counts and ticks, and when one name is enough."""

from drillyard.core.quantities.faults import Fault


def signing_faults(signed_by: str, second_name: str, one_name_reason: str, one_person_lab: bool) -> list[Fault]:
    """Why a signature cannot be taken; empty when it can.

    Two different names are wanted.  In a lab that one person runs, one name and a reason do.
    """
    first, second = signed_by.strip(), second_name.strip()
    if not first:
        return [Fault(code="no name", said="nobody has signed", remedy="write the name of who counted and ticked")]
    if second and second.casefold() != first.casefold():
        return []
    if second:
        return [Fault(code="same name twice", said=f"'{first}' has signed twice", remedy="a second person signs too")]
    if not one_person_lab:
        return [
            Fault(
                code="second name missing",
                said="a second person has to sign",
                remedy="write a second name, or set the lab to one that a single person runs",
            )
        ]
    if not one_name_reason.strip():
        return [
            Fault(
                code="reason missing",
                said="only one name is given",
                remedy="write why one name has to do, or a second name",
            )
        ]
    return []
