"""Lesson: verdicts near a limit."""

from __future__ import annotations

from collections.abc import Mapping

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.formula import formula
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.pictures.data import BarRow, Bars
from rotorkit.quantities import Angle, Ratio, in_unit, required_kind
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

DEGREES = ("deg", "deg")
LOW, HIGH = "9 deg", "11 deg"


@formula(source=sources.JCGM_106.at("8.3.2, a guard band of one expanded "
                                    "uncertainty"), letters={"limit": "T_U", "uncertainty": "U"},
         result="A_U", valid={"uncertainty": ("0 deg", "180 deg")})  # fmt: skip
def highest_figure_in_limits(limit: Angle, uncertainty: Angle) -> Angle:
    """The highest figure that is still in limits below an upper limit, all of its uncertainty counted.

    Formula: A = T - U.

    Parameters
    ----------
    limit : Angle
        the upper limit.
    uncertainty : Angle
        expanded uncertainty of the figure (k = 2, zero or positive).

    Returns
    -------
    Angle
        The highest figure that is in limits.

    Raises
    ------
    QuantityError
        an argument is no angle, or the uncertainty is negative.

    Notes
    -----
    Range of validity: any limit.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(highest_figure_in_limits("11 deg", "0.3 deg"), "deg", digits=3)
    '10.7°'
    """
    return limit - uncertainty


@formula(source=sources.JCGM_106.at("8.3.2, a guard band of one expanded "
                                    "uncertainty"), letters={"limit": "T_L", "uncertainty": "U"},
         result="A_L", valid={"uncertainty": ("0 deg", "180 deg")})  # fmt: skip
def lowest_figure_in_limits(limit: Angle, uncertainty: Angle) -> Angle:
    """The lowest figure that is still in limits above a lower limit, all of its uncertainty counted.

    Formula: A = T + U.

    Parameters
    ----------
    limit : Angle
        the lower limit.
    uncertainty : Angle
        expanded uncertainty of the figure (k = 2, zero or positive).

    Returns
    -------
    Angle
        The lowest figure that is in limits.

    Raises
    ------
    QuantityError
        an argument is no angle, or the uncertainty is negative.

    Notes
    -----
    Range of validity: any limit.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(lowest_figure_in_limits("9 deg", "0.3 deg"), "deg", digits=3)
    '9.30°'
    """
    return limit + uncertainty


@formula(source=sources.JCGM_106.at("7.3, an estimate's distance from a limit in standard uncertainties"),
         letters={"limit": "T_U", "figure": "y", "uncertainty": "U"}, result="z",
         valid={"uncertainty": ("1e-6 deg", "180 deg")})  # fmt: skip
def distance_from_limit(limit: Angle, figure: Angle, uncertainty: Angle) -> Ratio:
    """How many standard uncertainties a figure lies below an upper limit.

    Formula: z = (T - y) / (U / 2).

    Parameters
    ----------
    limit : Angle
        the upper limit.
    figure : Angle
        what was found.
    uncertainty : Angle
        its expanded uncertainty (k = 2, above zero): the standard one is half of it.

    Returns
    -------
    Ratio
        Positive below the limit, negative above it.

    Raises
    ------
    QuantityError
        an argument is no angle, or there is no uncertainty.

    Notes
    -----
    Range of validity: any limit.

    Examples
    --------
    The published example of 0.07 V with a standard uncertainty of 0.05 V, as an angle: 1.4.

    >>> from rotorkit.quantities import say
    >>> say(distance_from_limit("5.47 deg", "5.40 deg", "0.10 deg"), digits=2)
    '1.4'
    """
    return (limit - figure) / (uncertainty / 2)


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("figure", "What you found", Angle, DEGREES, "8 deg", "12 deg", (0.05, 0.05), "10.8 deg"),
        knob("uncertainty", "Its ±", Angle, DEGREES, "0 deg", "1.5 deg", (0.05, 0.05), "0.3 deg"),
    ]


def _see(_aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    angle = required_kind(Angle)
    value, spread = (float(in_unit(at[name], "deg", angle)) for name in ("figure", "uncertainty"))
    limit = Limit("blade angle", Angle, LOW, HIGH, "an invented manual", "deg")
    verdict = limit.judge(measured(f"{value:.4f} ± {spread:.4f} deg", Angle, "what you found"))
    low, high = (float(text.split()[0]) for text in (LOW, HIGH))
    bars = Bars(
        "The whole of it against the limit", [BarRow("blade angle", value, spread, low, high, "°", verdict.word)]
    )
    return Seen(
        [bars],
        [
            f"From {value - spread:.4g}° to {value + spread:.4g}°, the limit is {LOW[:-4]}° to {HIGH[:-4]}°: "
            f"{verdict.word}."
        ],
    )


LESSON = Lesson(
    name="near_a_limit",
    order=8,
    title="Verdicts near a limit",
    goal="When a reading is near its limit you can say whether it is in, out, or too close to call, and what to do "
    "about it.",
    words=(
        "A reading of 10.9° against a limit of 11° looks good. But a protractor good to ± 0.3° only tells you that "
        "it is between 10.6° and 11.2°. Part of that is outside. Nobody knows on which side the blade is.",
        "So the whole range counts. All of it inside: in limits. All of it outside: out of limits. Anything else: "
        "too close to call. And what nobody looked at has no verdict yet, which is not the same as good.",
        "Too close to call is nothing to be ashamed of. Adjust toward the middle; or measure better, with a finer "
        "instrument or more readings, and look again. Reading it again until you like the answer is not measuring.",
    ),
    picture=Exploration(
        "near_a_limit",
        "verdict",
        "In, out, or too close",
        "Change the figure and its ±.",
        _knobs,
        _see,
        closing="A picture to learn from. The limit and its page come from your manual.",
    ),
    look_for=(
        "How near the limit can a figure known to ± 0.3° be and still be in limits? And one known to ± 0.1°?",
        "Make the ± so large that nothing can be in limits. Then the instrument is not good enough for this job.",
    ),
    example=Example(
        "How sure is sure?",
        "A published example: a figure lies 1.4 standard uncertainties inside its limit, and the chance that it really "
        "is inside is 92 %. The standard uncertainty is half of the figure after ± here. As angles: the limit is "
        "5.47°, and 5.40° ± 0.10° was found.",
        sources.JCGM_106.at("clause 7, conformance probability", "memory"),
        (
            Step(
                Exercise(
                    "steps",
                    "How far inside",
                    "The limit is {limit}; {figure} was found, ± {uncertainty}. Half of that is the standard "
                    "uncertainty.",
                    "how many standard uncertainties it lies inside",
                    "",
                    digits=2,
                    of=distance_from_limit,
                    given={"limit": "5.47 deg", "figure": "5.40 deg", "uncertainty": "0.10 deg"},
                    hints=("5.47 less 5.40 is 0.07. Half of 0.10 is 0.05.", "0.07 divided by 0.05."),
                ),
                "In a normal distribution 92 % lies below 1.4: one time in twelve this blade is out although the "
                "reading is in.",
                "1.4",
            ),
            Step(
                Exercise(
                    "highest",
                    "How high it may be",
                    "Here the whole ± has to be inside: limit {limit}, ± {uncertainty}.",
                    "the highest figure that is in limits",
                    "deg",
                    of=highest_figure_in_limits,
                    given={"limit": "5.47 deg", "uncertainty": "0.10 deg"},
                    hints=("The limit less the whole of the ±.",),
                ),
                "That is two standard uncertainties inside: it will be wrong about one time in forty.",
            ),
        ),
    ),
    own=(
        Exercise(
            name="highest",
            title="The highest figure in limits",
            story="The manual allows at most {limit}. The figure is known to ± {uncertainty}.",
            find="the highest figure that is in limits",
            unit="deg",
            of=highest_figure_in_limits,
            given={
                "limit": Range("10.8 deg", "14.0 deg", "0.1 deg"),
                "uncertainty": Range("0.2 deg", "0.6 deg", "0.1 deg"),
            },
            hints=("The whole of the ± must be inside.", "Limit less ±."),
        ),
        Exercise(
            name="lowest",
            title="The lowest figure in limits",
            story="The manual asks for at least {limit}. The figure is known to ± {uncertainty}.",
            find="the lowest figure that is in limits",
            unit="deg",
            of=lowest_figure_in_limits,
            given={
                "limit": Range("7.0 deg", "9.5 deg", "0.1 deg"),
                "uncertainty": Range("0.15 deg", "0.40 deg", "0.05 deg"),
            },
            hints=(
                "At a lower limit the figure must be above the limit by the whole of the ±.",
                "Limit and ± together.",
            ),
        ),
        Exercise(
            name="how_good",
            title="How good must the instrument be",
            story="The manual allows at most {limit}. You rig to {result} and want to be able to say it is in limits.",
            find="the largest ± that the figure may have",
            unit="deg",
            of=highest_figure_in_limits,
            unknown="uncertainty",
            digits=2,
            given={
                "limit": Range("11.0 deg", "11.3 deg", "0.1 deg"),
                "result": Range("10.4 deg", "10.9 deg", "0.05 deg"),
            },
            hints=("The whole of the ± has to fit between the figure and the limit.", "Limit less figure."),
        ),
    ),
    learned=(
        "The whole range inside: in limits. The whole range outside: out of limits. Anything else: too close to call.",
        "What nobody looked at has no verdict yet, which is not the same as good.",
        "Too close: adjust toward the middle, or measure better. Never keep reading until you like the answer.",
    ),
    sources=(sources.ISO_14253_1.at("decision rules"), sources.JCGM_106.at("clauses 7 and 8")),
)
