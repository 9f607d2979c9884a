"""The one text of cautions: README, booklet, phone page and command line all print it from here."""

from __future__ import annotations

from dataclasses import dataclass

# Wording: 16 CFR 1500.19(b) (latex balloons) and 15 U.S.C. 1278(b)(2)(A); Federal Register 60
# (27 February 1995) 10742-10756. Printed verbatim, never reworded or cut.
CHOKING = (
    "WARNING: CHOKING HAZARD — Children under 8 yrs. can choke or suffocate on uninflated or "
    "broken balloons. Adult supervision required. Keep uninflated balloons from children. "
    "Discard broken balloons at once."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: a short title, the text for people, and where what it says comes from."""

    title: str
    text: str
    source: str


# In printing order: the choking statement is always first.
CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "Choking",
        CHOKING,
        "16 CFR 1500.19(b); 15 U.S.C. 1278(b)(2)(A); Federal Register 60 (1995) 10742-10756",
    ),
    Caution(
        "Latex allergy",
        "These balloons are natural rubber latex. About 1–4 % of people are allergic to it, some "
        "of them badly. Ask before you work near others, and tell whoever receives the piece.",
        "Wu et al., J. Occup. Health 58 (2016) 138-144 (4.3 %); meta-analysis, J. Allergy Clin. "
        "Immunol. 2006, doi 10.1016/j.jaci.2006.03.048 (1.37 %)",
    ),
    Caution(
        "Pump, never the mouth",
        "Inflate with a pump. Keep balloons out of the mouth, and do not inflate or stretch them "
        "near the face.",
        "Francis and Chisholm, Br. J. Ophthalmol. 82 (1998) 203 (burst while blown up by mouth); "
        "EU SCCP/1132/07 (nitrosamines)",
    ),
    Caution(
        "Eyes and ears",
        "Wear eye protection while you inflate and twist. Wear ear protection when many balloons "
        "burst or are cleared away; let the air out by a cut at the knot instead of bursting them.",
        "Francis and Chisholm 1998; Scott and Hodgetts, Canadian Audiologist 3(6) 2016 (peaks up "
        "to 168 dB)",
    ),
    Caution(
        "Leave the tail",
        "Stop short of full inflation: leave the flat tail that the plan gives for each balloon. "
        "Each twist pushes air into it, and a balloon with no tail left bursts.",
        "common practice, no source",
    ),
    Caution(
        "Nothing sharp, nothing heavy",
        "Put nothing sharp and nothing heavy inside the piece, and hang nothing on it. It is not a "
        "seat, a toy to climb on or a thing to float with.",
        "common practice, no source",
    ),
    Caution(
        "Rest your hands",
        "Pinching and twisting over and over strains the tendons. Work up to it, change the task "
        "often, take breaks, and stop when it hurts.",
        "OSHA 3125 (2000); CPWR hazard sheet on hand strain",
    ),
    Caution(
        "Heat, sun and height",
        "Keep the piece out of sun, hot cars and the heat of lamps, and away from flames. Air "
        "grows with warmth and with height: carried up a mountain road, a full balloon bursts.",
        "gas law and standard atmosphere",
    ),
    Caution(
        "Every scrap",
        "Count the balloons when you clear up. Put every piece of latex in the bin at once, and "
        "keep unused balloons out of reach.",
        "Gilmour and Lavers, J. Hazard. Mater. 403 (2021) 123629 (latex did not meaningfully "
        "degrade in 16 weeks)",
    ),
    Caution(
        "Never release",
        "Never let balloons go outdoors, whole or broken. They do not rot away in any useful time.",
        "Gilmour and Lavers 2021",
    ),
    Caution(
        "Children and animals",
        "Keep the piece, the stock and the scraps away from small children and from animals, which "
        "swallow them. Watch over the piece for as long as it stands.",
        "Ryan et al., Am. J. Dis. Child. 144 (1990) 1221-1224 (a quarter of the deaths were of "
        "children aged 6 or over)",
    ),
    Caution(
        "Local rules first",
        "Local law, the rules of the venue and the practice of licensed people come before "
        "anything written here.",
        "",
    ),
)

# For a cover, a phone page or the end of a list. The choking statement stays whole.
SHORT = (
    f"{CHOKING} Natural rubber latex: about 1–4 % of people are allergic. Use a pump, never the "
    "mouth; protect eyes and ears; leave the planned tail; nothing sharp or heavy inside; rest "
    "your hands; keep from heat, sun and height; keep from children and animals; count and bin "
    "every scrap; never release. Local rules and licensed practice come first."
)

# For the end of a command's output.
ONE_LINE = (
    "Caution: choking hazard for children under 8; natural rubber latex; pump, never the mouth; "
    "eye protection; bin every scrap. All cautions are in the booklet."
)
