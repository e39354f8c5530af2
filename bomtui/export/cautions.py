"""What every artefact says about its figures, beside the figures."""

ESTIMATES = (
    "All figures are estimates for proposal work. Vehicles can hurt people: datasheets, prototypes, fuse and wire "
    "rules, functional-safety and local codes, and qualified engineers decide what is built."
)
NOT_DECIDED = (
    "Not decided by this program: lighting law and type approval, electromagnetic compatibility, braking and steering "
    "functions, the choice of fuses and wires."
)
NO_FINDING = "No finding is not a pass: it says only that the checks that ran, on the data there is, found nothing."
BOUNDS = "A figure marked as a bound has unknown terms; an unknown is never counted as zero."
CAUTIONS = (ESTIMATES, NOT_DECIDED, NO_FINDING, BOUNDS)
"""All cautions, the most important first."""

DEMO_MARK = "DEMO DATA"
DEMO_NOTICE = "DEMO DATA: invented parts, makers, prices and vehicle; not for a customer"
INVENTED = "invented part"
"""What a line of a demo says of its part."""
