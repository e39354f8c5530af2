"""LIN lines that wake their commander by whatever is on them."""

from collections.abc import Iterator

from bomtui.engine.networks.sites import Site
from bomtui.model.finding import Verdict
from bomtui.model.variant import Module
from bomtui.rules.context import Context, Rule, not_applicable, passed, undecided, warned
from bomtui.rules.nets import networks, sites
from bomtui.rules.wording import listed

BY_BUS = "remote"
"""What a part says that traffic on its bus wakes it."""
QUIET = "a line at rest"


def ask(context: Context) -> Iterator[Verdict]:
    """A LIN line with something awake on it can wake the module of its commander while the vehicle is parked.

    What it asks:
        For every LIN network with a commander on terminal 30: while the vehicle is parked, is something on the line in
        use or kept alive, the commander's own module asleep, and its transceiver one that the bus wakes? LIN has no
        selective wake. It cannot tell where the part does not say what wakes it, or a load whether it is in use then.
        Networks whose commander has no power then, or is a load, are not asked.

    Why it matters:
        A responder that twitches once a minute wakes its module once a minute, each time for seconds at full current.

    Failing example:
        A battery sensor that measures all night, on the LIN port of an engine module that should sleep.

    Passing example:
        The same sensor on the LIN port of the body module, which is kept alive.

    Source:
        Common practice, no source.
    """
    for place, network, _ in networks(context):
        here = sites(context, network)
        commander = next((site for site in here if site.node.commander and site.device is not None), None)
        if network.kind != "LIN" or commander is None or commander.device is None or commander.device.terminal != "30":
            yield not_applicable(place)
        else:
            yield _verdict(context, place, here, commander)


def _verdict(context: Context, place: str, here: tuple[Site, ...], commander: Site) -> Verdict:
    modules = context.variant.modules
    home = _home(context, commander)
    if home is not None and home.keep_alive:
        return passed(place, "kept alive", QUIET)
    parked = context.proposal.vehicle.parked_mode
    shares = {site.node.at: site.load.time_share_ratio.get(parked) for site in here if site.load is not None}
    awake = [at for at, share in shares.items() if share]
    awake += [site.node.at for site in here if site is not commander and _is_alive(modules, site)]
    facts = {
        "commander": commander.node.at,
        "awake": listed(awake or [at for at, own in shares.items() if own is None]),
    }
    if not awake and None not in shares.values():
        return passed(place, QUIET, QUIET)
    wake = "" if commander.part is None else commander.part.wake
    if wake and BY_BUS not in wake:
        return passed(place, wake, QUIET)
    if not wake or not awake:
        return undecided(place, wake or None, QUIET, **facts)
    return warned(place, wake, QUIET, **facts)


def _home(context: Context, site: Site) -> Module | None:
    return None if site.address is None else context.variant.modules.get(site.address.module)


def _is_alive(modules: dict[str, Module], site: Site) -> bool:
    return site.address is not None and site.address.module in modules and modules[site.address.module].keep_alive


RULE = Rule(
    name="wake.line",
    severity="warning",
    failed="{awake} on {place} is awake while the vehicle is parked, and anything on the line wakes {commander}"
    " ({measured})",
    undecided="{awake} on {place} may be awake while the vehicle is parked: whether that wakes {commander} is unknown",
    remedy="Put what is awake on the line of a module that is kept alive, or feed {commander} from terminal 15.",
    ask=ask,
)
