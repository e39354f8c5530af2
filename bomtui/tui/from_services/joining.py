"""How the channels of a load, or loads on one channel, can be joined."""

from bomtui.edit.edit import Edit
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Join, Place
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.proposal import Snapshot
from bomtui.services.free_channels import free_numbers
from bomtui.tui.from_services.shape import Named


def joinings(snapshot: Snapshot, variant_id: str, load_id: str) -> list[tuple[Named, Edit]]:
    """Return how a placed load could be joined, each with what is done: alone, in parallel, shared with another load.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: The variant.
        load_id: A placed load.
    """
    proposal = snapshot.proposal
    variant = proposal.variants[variant_id]
    own = variant.placements[load_id]
    on = tuple(text for text in own.on if parse_address(text).channel)
    if not on:
        return []
    beside = tuple(
        key for key in sorted(variant.placements, key=natural_key) if not set(on).isdisjoint(variant.placements[key].on)
    )
    alone = Join(variant=variant_id, loads=beside, joined=None)
    needed = proposal.settings.habit(proposal.loads[load_id].drive).channels
    if own.joined == "parallel" and len(on) > needed > 0:
        fewer = Place(variant=variant_id, load_id=load_id, on=on[:needed], stage=own.stage)
        found: list[tuple[Named, Edit]] = [(("alone", "not joined", f"only on {', '.join(on[:needed])}"), fewer)]
    else:
        found = [(("alone", "not joined", "each channel and load for itself"), alone)]
    if len(on) > 1:
        parallel = Join(variant=variant_id, loads=(load_id,), joined="parallel")
        found.append((("parallel", "in parallel", f"{', '.join(on)} carry it together"), parallel))
    if len(beside) > 1:
        together = Join(variant=variant_id, loads=beside, joined="shared")
        found.append((("shared", "shared", f"{', '.join(beside)} hang knowingly on one channel"), together))
    last = parse_address(on[-1])
    for number in free_numbers(snapshot, variant, last) or ():
        address = str(last._replace(channel=number))
        more = Place(variant=variant_id, load_id=load_id, on=(*on, address), joined="parallel", stage=own.stage)
        found.append(((f"parallel {address}", f"in parallel with {address}", "one more channel carries it"), more))
    for key in sorted(variant.placements, key=natural_key):
        other = variant.placements[key]
        if key in beside or len(other.on) != 1 or proposal.loads[key].drive != proposal.loads[load_id].drive:
            continue
        if parse_address(other.on[0]).module != last.module or not parse_address(other.on[0]).channel:
            continue
        edits = (
            Join(variant=variant_id, loads=(key,), joined="shared"),
            Place(variant=variant_id, load_id=load_id, on=other.on, joined="shared"),
        )
        words = f"hang {load_id} on the channel of {key}"
        found.append(
            ((f"shared {key}", f"shared with {key}", f"both on {other.on[0]}"), Group(edits=edits, words=words))
        )
    return found
