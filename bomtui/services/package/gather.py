"""Gather every artefact of a quotation package."""

from bomtui.engine.failure_walk import failure_walk
from bomtui.export.diagram_record import diagram_record
from bomtui.export.failures_record import failures_record
from bomtui.export.package import channels, findings, loads, networks, others, power, standby, summary, thermal
from bomtui.export.package.artefact import Artefact
from bomtui.export.package.loads import LoadList, LoadRecord
from bomtui.export.package.others import DiagramSet
from bomtui.export.parts_list_record import parts_list_record
from bomtui.export.records import Heading, heading
from bomtui.model.diagram import Diagram
from bomtui.model.ids import natural_key
from bomtui.services.compare import Comparison
from bomtui.services.compare_artefact import compare_record
from bomtui.services.diagram import diagram
from bomtui.services.package.channels import channel_list
from bomtui.services.package.findings import assumption_list, findings_list
from bomtui.services.package.networks import network_list
from bomtui.services.package.power import power_budget
from bomtui.services.package.standby import standby_budget
from bomtui.services.package.subject import Subject
from bomtui.services.package.summary import summary as summary_of
from bomtui.services.package.thermal import thermal_sheet


def artefacts(subject: Subject, comparison: Comparison | None) -> tuple[Artefact, ...]:
    """Return every artefact of a variant, in the order in which people read them.

    Args:
        subject: The variant.
        comparison: The variant, first, against another one; None where it is left out.
    """
    basis = subject.basis
    walk = failure_walk(subject.reviewed.computed.opened.snapshot, subject.rollup.variant)
    compared: tuple[Artefact, ...] = ()
    if comparison is not None:
        own = Heading(**heading(basis, "Comparison"))  # type: ignore[arg-type]
        compared = (others.comparison_artefact(compare_record(comparison, forced=subject.forced), own),)
    return (
        summary.artefact(summary_of(subject)),
        others.parts_list_artefact(parts_list_record(basis)),
        channels.artefact(channel_list(subject)),
        loads.artefact(load_list(subject)),
        power.artefact(power_budget(subject)),
        thermal.artefact(thermal_sheet(subject)),
        standby.artefact(standby_budget(subject)),
        networks.artefact(network_list(subject)),
        others.failures_artefact(failures_record(basis, walk, walk.effects)),
        findings.findings_artefact(findings_list(subject)),
        findings.assumptions_artefact(assumption_list(subject)),
        *compared,
        others.diagrams_artefact(_diagram_set(subject, diagrams(subject))),
    )


def load_list(subject: Subject) -> LoadList:
    """Return the loads of the vehicle as a record, ordered by subsystem and id."""
    known = subject.proposal.loads
    ids = sorted(known, key=lambda load_id: (natural_key(known[load_id].subsystem), natural_key(load_id)))
    return LoadList(
        **heading(subject.basis, "Load list"),  # type: ignore[arg-type]
        modes=tuple(subject.proposal.modes),
        loads=tuple(
            LoadRecord(
                id=load_id,
                served_by=subject.serving.module_of.get(load_id, ""),
                load=known[load_id],
            )
            for load_id in ids
        ),
    )


def diagrams(subject: Subject) -> tuple[Diagram, ...]:
    """Return the block diagram of the vehicle, then that of every module."""
    snapshot = subject.reviewed.computed.opened.snapshot
    modules = sorted(subject.variant.modules, key=natural_key)
    return tuple(diagram(snapshot, subject.rollup, module) for module in ("", *modules))


def _diagram_set(subject: Subject, drawn: tuple[Diagram, ...]) -> DiagramSet:
    return DiagramSet(
        **heading(subject.basis, "Block diagrams"),  # type: ignore[arg-type]
        diagrams=tuple(diagram_record(subject.basis, own) for own in drawn),
    )
