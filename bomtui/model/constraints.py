"""What the customer asks of parts, whatever architecture is offered."""

from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.model.part import GRADES


class Constraints(Base, frozen=True):
    """The customer's own conditions on parts; every variant is held against them. An empty field asks for nothing."""

    must_keep: Annotated[
        tuple[str, ...], Field("parts that the customer keeps: every variant uses them", refers_to="part")
    ] = ()
    forbidden: Annotated[tuple[str, ...], Field("parts that no variant may use", refers_to="part")] = ()
    approved_makers: Annotated[
        tuple[str, ...], Field("makers whose parts are accepted, by name; without any: all")
    ] = ()
    minimum_grade: Annotated[
        str | None, Field("lowest ambient grade that is accepted; unknown: none is asked", choices=GRADES)
    ] = None
    refused_packages: Annotated[
        tuple[str, ...], Field("package families that are not accepted, by their letters, such as BGA")
    ] = ()
    note: Annotated[str, Field("free text", informational=True)] = ""
