"""The words of everything an answer says of itself, in English, by id.

A place in braces takes the value of that name; of several, what stands after the colon stands between them. Another
language has the same ids and the same places.
"""

from __future__ import annotations

WORDS: dict[str, str] = {
    # What every answer ends with.
    "no-stamped-design": (
        "A calculation from the facts typed in; not a stamped design. Local rules and a licensed engineer govern."
    ),
    "what-is-covered": (
        "Covers wind across this wall as drawn. Leaves out racking, trusses, stacked loads, impact and the floor below."
    ),
    "void-if-anything-differs": (
        "Void if anything differs. Wind at the wall can exceed the forecast; thunderstorm gusts can exceed every "
        "number."
    ),
    "never-shelter": (
        "Clear both sides and the house before the clear-out gust. Never shelter beside the wall."
    ),
    "cautions-short": (
        "Void if anything differs; not a stamped design; gusts can exceed forecasts. Clear both sides and the house. "
        "Never shelter beside the wall. (--cautions)"
    ),
    "not-shown": "Not shown: {what:, } (--all).",
    "not-shown-count": "{count} more: --all.",
    "at-the-limit": (
        "At this gust the weakest counted link reaches its allowable value. It is not the gust that takes the wall "
        "down; one missed or split joint can go below it."
    ),
    "addition-lowers": (
        "alone it takes the limit gust from {before} to {after}: it {cause}; {link} {where} gives first then"
    ),
    "draws-load": "is stiffer and draws load",
    "adds-lean-or-gap": "adds weight that leans, or a gap its nails must cross",
    "adds-sail": "adds area to the wind",
    "adds-pressure-at-a-return": "is a return, beside which the wind presses more",
    "for-no-reason-known": "does so for no reason known here, which is a fault of this program: report it",
    "over-the-wall": "along the wall",
    "at-the-brace": "at {mark}",
    # Outside the envelope of use: for an engineer.
    "beyond-gust": "gust {gust}; this tool covers {low.number} to {high}",
    "beyond-height": "height {low} to {high}; this tool covers {least} to {most}",
    "beyond-length": "length {length}; this tool covers up to {most}",
    "beyond-spacing": "studs at {apart}; this tool covers up to {most}",
    "beyond-opening": "an opening {width} wide; this tool covers up to {most}",
    "beyond-angle": "{mark} at {angle} degrees from the floor; braces count from {low} to {high} degrees",
    "beyond-brace-length": "{mark} is {length} long; braces count up to {most}",
    "beyond-head": "{mark} meets its stud under half its height; the plate is kicked the other way",
    "engineer-has-to-plan": "{why}; an engineer has to plan it",
    "on-hand-lacks": (
        "what is on hand does not reach for any layout that stands. What is not named is not there; the smallest "
        "takes besides: {lacks}"
    ),
    "sticks-of": "more or longer {size}",
    "sticks-of-tie-rows": "{size} for tie rows",
    "more-than-so-many": "more than {count} of {what}",
    "on-hand-not-named": "NOT ON HAND, to be bought for it: {what:; }.",
    "on-hand-of-no-use": "Of no use here: {what}.",
    "on-hand-too-little": "what is on hand does not reach for any layout that stands: {stopped}",
    "for-an-engineer": "for an engineer: {why:; }",
    # Inside it, and still poor practice.
    "steep-brace": "{mark} is steep, {angle} degrees: it lifts wall and foot hard",
    "flat-brace": "{mark} is flat, {angle} degrees: long, and it buckles sooner",
    "low-head": "{mark} meets its stud below two thirds of its height: more force in it",
    "header-carries": "{apart} between {first} and {second}: header carries it",
    "no-brace-at-the-edge": (
        "an opening {width} wide takes a brace within {most} of each edge; at {edge} from LEFT there is none"
    ),
    "braces-far-apart": "braces at {first} and {second} are over {most} apart",
    "free-end-at-left": "the first brace from LEFT is {distance} in from a free end, over {most}",
    "free-end-at-right": "the first brace from the right is {distance} in from a free end, over {most}",
    "feet-on-the-ground": (
        "feet on the ground: no soil table is this soil; prove a stake or a weight by a pull test"
    ),
    "feet-on-a-slab": "anchors in a slab count as typed in: prove it, pull one at the slab's age",
    "into-joist-is-foot-on": (
        '{was} is read as foot_on: true as foot_on = "joist", false as "deck"; write foot_on in its place'
    ),
    "feet-on-i-joists": (
        "I-joists are not checked under the feet: their maker says what a foot may lift or press"
    ),
    "feet-on-trusses": (
        "floor trusses are not checked under the feet: their maker says what a foot may lift or press"
    ),
    "return-at-left": "the return at LEFT counts for nothing yet: end free, whatever is fastened there",
    "return-at-right": "the return at the right counts for nothing yet: end free, whatever is fastened there",
    "returns-at-both-ends": (
        "the return at LEFT and at the right counts for nothing yet: end free, whatever is fastened there"
    ),
    # Going up, and the hook.
    "brace-up": "{mark}",
    "tie-row": "1 tie row",
    "tie-rows": "{count} tie rows",
    "ties-on": "{ties} fastened at every brace and run to a diagonal at both ends",
    "nailed": "nailed",
    "screwed": "screwed",
    "fastened": "fastened",
    "braces-fully-fastened": "{marks} fully {fastened} at head, cleat and floor",
    "hook-stays-bare": "The hook stays on: no brace is up, for any gust of the day ({day}).",
    "hook-stays": (
        "The hook stays on, for a gust of the day of {day}: with all of it on the clear-out gust is {full}."
    ),
    "hook-off": (
        "Hook stays on until {mark} is fully {fastened}, for gusts to {day} (clear-out then {then})."
    ),
    "hook-off-tie": (
        "Hook stays on until {mark} is fully {fastened} and 1 tie row is on, fastened at every brace and run to a "
        "diagonal at both ends, for gusts to {day} (clear-out then {then})."
    ),
    "hook-off-ties": (
        "Hook stays on until {mark} is fully {fastened} and {ties} tie rows are on, fastened at every brace and run to "
        "a diagonal at both ends, for gusts to {day} (clear-out then {then})."
    ),
    # What stands before every number.
    "not-up": (
        "NOT UP: the file says {state}. It is told neither within nor over, and nobody is told to clear out for it. "
        'Write state = "standing" under [wall] the moment it stands up.'
    ),
    "laid-down": (
        "NOT UP: the file says {state}. It is told neither within nor over, and nobody is told to clear out for it. "
        'Write state = "standing" under [wall] the moment it stands again; then walk it.'
    ),
    "no-brace-keeps": "NO BRACES ON FILE: there is no [[brace]] in it. No brace keeps this wall up.",
    "no-brace-would-keep": (
        "NO BRACES ON FILE: there is no [[brace]] in it. No brace would keep this wall up."
    ),
    "a-plan": "What follows is a PLAN laid out for {plan}, not what is up.",
    "for-a-gust": "a gust of {gust}",
    # Taking down.
    "as-a-sentence": "{said}.",
    "returns-count-for-nothing": "Returns count for nothing yet: end free",
    "partition-counts-for-nothing": "A partition counts for nothing",
    "partition-on-its-line": (
        "A partition counts for nothing. On its line: {marks}; put a new brace in before the old one comes out"
    ),
    "deck-not-stated": (
        "A deck counts for nothing until its level load is stated (--deck-takes). What stays is for whoever answers "
        "for the frame; published practice: not before framing and sheathing are done"
    ),
    "deck-alone": "The deck's stated {load} alone reaches its limit at {limit}",
    "no-event": "no event is ticked: nothing has taken over from it (--done)",
    "nothing-took-over": "{ticked}: nothing that counts has taken over from it. {notes:. }",
    "may-come-out-after": "after {ticked}; take out this one, then ask again",
    "clear-out-too-low": "the clear-out gust would not be over {keep} without it",
    "kept-today": "today's gust and no more: NOTHING IS KNOWN OF TONIGHT (--forecast, --storms)",
    "kept-worst": "the worst of today and the forecast, {of}. It counts {since} {until}",
    "kept-of-today": "today's",
    "kept-of-forecast": "that of {when}",
    "kept-now": "from now",
    "kept-from": "from {start}",
    "kept-until": "until {until}: then ask again",
    "kept-no-end": "on, while no more is forecast: nobody said until when",
    # Why a link is no stronger.
    "so-many": "{count} x {what}",
    "so-many-of": "{count} of {there} x {what}",
    "each-in-shear": "{so_many}, {each} each in shear, {mode}",
    "yield-mode": "{gives} (mode {mode})",
    "gives-Im": "crushes the wood",
    "gives-Is": "crushes the side",
    "gives-II": "turns over",
    "gives-IIIm": "bends once, deep",
    "gives-IIIs": "bends once",
    "gives-IV": "bends twice",
    "into-a-joist": "{so_many}, into a joist",
    "into-blocks": "{so_many}, into blocks between joists",
    "into-cross-cleats": "{so_many}, into the cross cleats",
    "cross-cleat-screwed": "{size} flat over two joists, {so_many} into each, drawn and in shear",
    "cross-cleat-bent": "{size} flat, the foot half-way between two joists",
    "blocks-nailed": "{count} under each cleat, {so_many} at each end, {each} each into end grain",
    "deck-only": "{so_many}, in the deck panel only",
    "in-shear": "{where}, in shear",
    "worth-nothing": "{where}, worth nothing: {since:; }",
    "drawn-and-in-shear": (
        "{where}, drawn out and in shear; the cleat bends, so that the worst is pulled {times} x its share"
    ),
    "drawn-evenly-and-in-shear": "{where}, drawn out and in shear",
    "drawn-in-shear-and-rolled": (
        "{where}, drawn out and in shear; the cleat rolls, so that the worst is pulled {times} x its share"
    ),
    "stake-or-friction": "the stake's side bearing, or the dead weight's friction, the greater of the two",
    "dead-weight-alone": (
        "a stake counts for nothing upward: only the dead weight does, by friction and with its share of 1.5"
    ),
    "a-limp-cleat": "{size} {lie}, bent between brace and floor fasteners",
    "panel-nailed": "the deck panel's own nails, {what} at {apart}, {each} each out of the joist",
    "one-joist": "one {size}, {span} span, the foot at mid-span",
    "lifted-joist": "{why}; lifted, its lower edge is free",
    "end-on-the-edge": "brace end on the stud's edge",
    "side-cleat-in-shear": "{so_many} in a side cleat, in shear",
    "toe-nailed-out": "{so_many} toe-nailed, drawn out",
    "plumb-head-lift": "{so_many} hold the lift of a plumb-cut head",
    "too-slender": "too long for its thickness, {axis} (le/d over {limit})",
    "rolls-over": "rolls over under its own weight (RB over 50)",
    "tension-on-net-section": "pulled where fasteners weaken it, and bent by its lap and own weight (net section)",
    "compression-edge": "bent by its lap and own weight: the pressed edge, less the pull",
    "own-weight-alone": "own weight alone",
    "thrust-with-bending": "pressed and bent, {axis}",
    "strong-axis": "the wide way",
    "weak-axis": "the thin way",
    "into-end-grain": "{so_many} into end grain, {each} each",
    "and-a-strap": "{why}; strap declared",
    "both-plies": "both plies, splices declared",
    "one-ply": "one ply; splices not declared",
    "apart-each": "{what} at {apart}, {each} each",
    "so-many-on-a-piece": "{count} x {what} on a piece of plate {piece} long, {each} each",
    "none-on-a-piece": "none counted of {what} at {apart} on a piece of plate {piece} long",
    "apart-out": "{what} at {apart}, drawn out",
    "so-many-each": "{so_many}, {each} each",
    "rows-in-the-plate": "{rows: or }",
    "nothing-in-the-plate": "nothing declared fastens the plate",
    "in-the-plate": "{here} {across}",
    "one-every": "{what} every {apart}",
    "in-a-row": ", {edge} from the sheathed edge of the plate",
    "in-the-middle": "in the middle of the plate",
    "from-the-edge": "{edge} from the sheathed edge",
    "declared-allowable": "declared allowable",
    "across-what-is-under": "{nails}, across {thick} of {under} under the panel",
    "sheathing-not-nailed": "the sheathing is not declared nailed to plate or rim",
    "no-repetitive-factor": "each stud by itself",
    "heads-from-edges": "head fasteners {edge} from the edges",
    "heads-in-the-middle": "head fasteners in the middle",
    "bent-and-drawn": "bent across the wall, and drawn or pressed along by its brace",
    "row-at": "{size} {kind} at {at}",
    "through-the-king": "{count} x {what} through the king into end grain",
    "bent-across": "{size} bent across the wall, {wide} between kings",
    "clause": "{source}",
    # What a link comes to, where its name alone says little to a crew.
    "link-head-bearing": "the wood crushes where the brace bears",
    "link-panel-to-joists": "the deck panel drawn off its joists",
    "link-plate-shear": "the bottom plate pushed along the floor",
    "link-plate-shear-and-uplift": "the bottom plate pushed along the floor and lifted",
    "link-plate-across-the-grain": "the bottom plate splits along its length as its edge is lifted",
    "link-stud-bending-with-lift": "the stud bent and lifted at once",
    "why-and-clause": "{why}; {clause}",
    "nothing-in-push": "nothing in push: {why}",
    "nothing-in-pull": "nothing in pull: {why}",
    "nothing-in-either": "{push}; {pull}",
    # Where a foot may not stand.
    "past-the-room": "the cleat runs past the room, {deep} deep",
    "no-room-for-cleat": "no room for the cleat before the wall",
    "past-the-end": "the foot stands past the end of the wall",
    "before-a-door": "the foot stands in front of the door at {at} from LEFT",
    "foot-stands-in": "the foot stands in {place}",
    "hangs-low-over": "the brace hangs low over {place}",
    "beside-a-partition": "on the line of the partition at {at} from LEFT",
    "foot-on-a-partition": "the foot stands on the line of the partition {out} out",
    "crosses-a-partition": "the brace crosses the partition {out} out below its plate",
    "head-in-the-plates": "the head would run into the top plates",
    "a-joist": "1 joist",
    "joists": "{count} joists",
    "too-few-joists": "the cleat catches {caught}, needs {needed}",
    "no-joist-under": "no joist under the cleat; the nearest is at {nearest} from LEFT",
    # A layout: its recipe, its proof, and what stops every one.
    "recipe": "{parts}",
    "stick": "{size}",
    "stick-as-a-t": "{size} stiffened as a T",
    "no-tie-row": "no tie row",
    "stud-doubled": "stud doubled",
    "one-cleat": "one cleat",
    "two-cleats": "two cleats",
    "a-strongback-across": "a strongback across the studs",
    "none-keeps-the-rules": "no layout with fewer keeps the spacing rules and balances the wind",
    "none-with-fewer": "no layout with fewer among the {tried} tried",
    "best-of-rows": "best found; fewer not ruled out (continuous rows: not every layout is tried)",
    "best-found": "best found; fewer not ruled out ({gone_through} of {of} gone through)",
    "no-foot-anywhere": "no foot can stand anywhere: {reasons:; }",
    "nothing-anywhere": "{reasons:; }",
    "gives-nothing": "no brace gives the wall anything, by {link} ({why})",
    "no-anchor-declared": (
        "an anchor in the slab counts for nothing until a report or a pull test says what one gives"
    ),
    "no-stock-long-enough": "no stock on hand is long enough",
    "studs-bend-anyhow": (
        "studs bend past their allowable value between any braces at {gust}; ask an engineer"
    ),
    "stock-too-weak": (
        "the strongest brace of the stock on hand balances {share} of the wind's moment at {gust}; its weakest link is "
        "{link} ({why})"
    ),
    "no-spots-at-the-edges": (
        "the spots left keep no brace within {from_end} of a free end, or none within {beside} of both edges of each "
        "opening of 9 ft and more"
    ),
    "spots-too-far-apart": (
        "the spots left keep no brace within {from_end} of a free end and none over {apart} apart"
    ),
    # What a layout needs beside its braces.
    "chosen-studs": "studs {parts}",
    "chosen-bottom-plate": "bottom plate {parts}",
    "chosen-sheathing": "sheathing {parts}",
    "chosen-top-plate": "top plate {parts}",
    "chosen-headers-and-sills": "headers and sills {parts}",
    "chosen-joists-under-the-feet": "joists under the feet {parts}",
    "chosen-brace-stock": "brace stock {parts}",
    "chosen-tie-rows": "tie rows {parts}",
    "ties-and-diagonals": (
        "tie rows {size} across every brace {where}; from both ends of each row a {size} diagonal, about {long} long, "
        "down to the floor in the plane of the braces"
    ),
    "half-way-along": "half-way along it",
    "at-equal-parts": "parting it in {count} equal lengths",
    "at-every-brace": "{value} at every brace",
    "at-ends-of-diagonals": "{value} at each end of a diagonal",
    "chosen-brace-heads": "brace heads {parts}",
    "chosen-cleats": "cleats {parts}",
    "chosen": "{value}",
    "every": "every {value}",
    "or-denser": "{value} or denser",
    "or-better": "{value} or better",
    "not-tacked": "in its final state, not tacked",
    "so-far-from-the-edge": "{value} from the sheathed edge",
    "into-framing": "into joists, rim or blocking",
    "nailed-to-the-bottom": "nailed to the bottom {value}",
    "every-there": "every {value} there",
    "every-on-studs": "every {value} on the studs",
    "nails-in-each-stud": "{value} nails into each stud",
    "nails-in-each-end": "{value} nails into each end",
    "or-deeper": "{value} or deeper",
    "spanning-no-more": "spanning no more than {value}",
    "on-the-studs-side": "{value} on the stud's side",
    "so-long": "{value} long",
    "lying": "lying {value}",
    "foot-between": (
        "feet: before the lift fix both cleats on edge from their tops, a brace scrap between; wall up, brace in, "
        "plumb, fasten from both outer faces"
    ),
    "foot-two-flat": (
        "feet: before the lift fix one flat cleat; wall up, set the brace against it, plumb, fasten through the brace; "
        "then the other cleat, drawn tight against it, the same"
    ),
    "foot-one-flat": (
        "feet: before the lift fix the flat cleat; wall up, set the brace against it, plumb, fasten through the brace"
    ),
    "a-row-across": (
        "a {size} {kind} on edge, {up} up, in one length or spliced, fastened to every stud it crosses for {load} "
        "toward it and away from it"
    ),
    "cleats-bored-for": "fasteners from brace to cleat bored for, or they split the wood",
    "heads-bored-for": "head fasteners bored for, or they split the wood",
    "cleats-over-wood": (
        "every cleat over joists or solid blocks, its fasteners into them: declare which way the joists run"
    ),
    "blocks-at-each-foot": (
        "at each foot {count} solid {size} blocks between joists under the cleats that lie over none, {ends} "
        "through the joists into each end"
    ),
    "chosen-blocks": "blocks: {parts:, }",
    "blocks-between-joists": (
        "at each foot {count} solid {size} blocks between joists under the cleat that lies over none, their ends "
        "fastened for {load}"
    ),
    "one-brace": "1 brace",
    "braces": "{count} braces",
    "the-nearest": "the nearest, {many} ({recipe}) at {gust}",
    "takes-more-than-on-hand": "{which}, takes more than is on hand",
    "leaves-it-free": "{which}, leaves the wall free to move",
    "over-off-its-mark": "{which}, is over with one brace one stud off its mark",
    "over-off-its-mark-or-gone": "{which}, is over with one brace one stud off its mark, or gone",
    "over-at-a-link": "{which}, is over at {link}, and no more fasteners mend that",
    "over-at-a-link-since": "{which}, is over at {link} ({why}), and no more fasteners mend that",
    # What would do where no layout reaches the gust asked, as a crew says it.
    "changes": "{parts: and }",
    "change-gust": "on a day of gusts up to {gust}",
    "change-more-sticks": "with as many of the sticks as it takes",
    "change-stick": "with {length} {size}",
    "change-head-screws": "with {value} at the heads",
    "change-cleat-screws": "with {value} from brace to cleat",
    "change-floor-screws": "with {value} from cleat to floor",
    "change-screws": "with screws for nails at heads and cleats",
    "change-bored": "with holes bored for the screws",
    "change-second-cleat": "with a second cleat at each foot",
    "change-cleats-on-edge": "with two 2x6 cleats on edge at each foot, screwed with 8 in screws",
    "change-cleats-on-edge-on-a-slab": (
        "with two 2x6 cleats on edge at each foot, 3 ft long, and anchors that go through them"
    ),
    "change-feet": "with screwed heads lapped on the studs and two screwed 2x6 cleats on edge at each foot",
    "change-head-side-cleat": "with a side cleat at each head",
    "change-lapped-heads": "with heads lapped on the stud's side",
    "change-ties": "with tie rows on the braces: {value}",
    "change-plate-state": "with the bottom plate nailed off",
    "change-into-framing": "with the bottom plate nailed into joists, rim or blocking",
    "change-sheathing-to-plate": "with the sheathing nailed to the bottom plate",
    "change-blocks": "with two blocks under each cleat, four 16d common nails in each end",
    "change-room": "with {value} of clear floor in front of the wall",
    "change-keep-outs": "with the floor cleared of all that is in the way",
    "change-uncovered": "with the openings left open",
    "change-headers": "with {value} headers over the wide openings",
    "change-anchors": "with anchors a report or pull test gives {load} each, plate washers on them",
    "change-stakes": "with stakes 3 in wide driven {value}",
    "change-dead-weight": "with {load} of dead weight at each foot",
    "out-of-budget": "{why}; the budget ran out before all were tried",
    "at-the-spacing-given": "at the spacing given: {why}",
    "fewest-braces": "fewest braces",
    "fewest-and-strongback": "fewest braces, strongback",
    "no-strongback": "no strongback",
    "no-tie-rows": "no tie rows",
    "no-doubled-studs": "no doubled studs",
    "no-t": "no T",
    "no-t-no-doubled-studs": "no T, no doubled studs",
    # What a search is doing.
    "walking-outward": "walking outward from the middle",
    "looking-for-fewer": "looking for fewer",
    "looking-with-a-strongback": "looking for fewer with a strongback",
    "looking-for-another": "looking for another layout: {what}",
    "trying-braces": "trying {count} braces: {recipe}",
    "trying-a-change": "trying at {gust} {change}",
    "trying-a-gust": "trying a gust of {gust}",
    # Fasteners.
    "nothing-in-that": "a {kind} into {into} counts for nothing",
    "reaches": "reaches {reaches} past the side member, needs {times} D = {needed}",
    "right-through-the-panel": "{short}; right through the panel, counted in proportion",
    "too-short-in-shear": "{short} to count in shear",
    "outside-report-across": "outside the conditions of report {report}: lateral value by the equations",
    "outside-report-out": "outside the conditions of report {report}: withdrawal by the equations",
    "outside-report-head": "outside the conditions of report {report}: pull-through by the equations",
    "end-grain-out": "in end grain: counts for nothing where it is drawn out",
    "held-by-panel": "held by the panel alone, not by framing",
    "anchors-as-typed": (
        "anchors in a slab: only the allowables typed in, from a report or a pull test, count"
    ),
    "stakes-are-no-fasteners": "stakes and dead weights are no fasteners; `bracing check` reckons them",
    "one-cleat-rolls": (
        "beside one cleat the brace rolls it: each is pulled {times} times its share; two cleats end that"
    ),
    "at-each-brace": "at each brace",
    "beside-each-brace": "in the plate beside each brace",
    "in-a-stud-end": "in the end of a stud",
    # A lift: what it hangs on, what it needs, what is over.
    "declared": "declared",
    "end-nails-count-zero": "end nails count zero",
    "no-header": "no header",
    "header-end-nails": "{count} nails into each end of the header",
    "bare-frame": "a bare frame: only end nails, which count zero",
    "sheathing-nails": "{count} sheathing nails on the stud",
    "one-person-for-each": "one person for every {stretch} of wall, low plain walls ({source})",
    "restrain-first": (
        "{height} and higher: cleats or straps at the bottom plate before raising by hand; anchor bolts or toe-nails "
        "alone are not enough ({source})"
    ),
    "raise-by-machine": "{height} and higher: raise it with a machine, not by hand ({source})",
    "tag-lines-at-plumb": "tag lines at plumb",
    "line-going-slack": "line going slack before {tilt} deg",
    "practice-for-tall-walls": "published practice for tall-wall lifts",
    "no-row": "no row",
    "a-wale": "wale {up} up",
    "a-strongback": "strongback {up} up",
    "a-soffit": "soffit {up} up",
    "weighed-at": "NDS-S 3.1.3 at {density}",
    "weighed-heaviest": "weighed as the heaviest in the table, G {gravity}",
    "weighed-green": "green, 30 % moisture; fresh-sawn lumber can weigh more",
    "weighed-bare": "none; a sheathed wall weighs more: declare its layers",
    "weighed-as-holes": "weighed as holes; if they are sheathed over, add {more}",
    "weighed-with-braces": (
        "the braces go up with the wall, folded against it: {more} more to carry, and none of it counted against the "
        "wind; say --no-braces-on where they do not"
    ),
    "tag-lines-undeclared": "tag lines: all together hold {load} at plumb (--tag-lines)",
    "sling-tag-undeclared": "the tag of a sling: {load} on the worse leg (--sling-tag)",
    "machine-undeclared": "the machine's chart: {load} on its hook, and the rigging (--chart, --distance)",
    "strongback-at-kink": (
        "a {size} strongback, one length or spliced, {up} up across the kink of the top: without it the frame folds "
        "there as it hangs"
    ),
    "not-declared": "not declared: {needed}",
    "gust-over-lift": "gust {gust} over the lift's {limit}: {first}",
    "sling-over-tag": "sling: {load} over its tag {most}",
    "sling-over": "{mark}, sling to {by}: {load} over {most} ({why})",
    "foot-over": "foot, {link}: {load} over {most}",
    "foot-over-bare": "foot, {link}: {load} over {most} (nothing is declared against it)",
    "a-stud": "a stud",
    "the-top-plate": "the top plate",
    "a-row": "a row",
    "stress-over": "stress of {what} as it hangs: {share} of its allowable",
    "power-line-near": "power line at {near}, nearer than {keep}",
    "power-line-past-table": "power line at {near}, past the table: its owner says",
    "machine-off-chart": "machine: off its chart at {tilts} deg of tilt",
    "machine-over": "machine: {load} over {most} at {tilt} deg",
    # The day of a lift.
    "operator": "operator: boom only, looks at nothing else",
    "leader": "leader: gives every signal, watches the foot",
    "leader-and-bracer": "leader: gives every signal, watches the foot, then fixes the first braces",
    "bracer": "bracer: tag line on the way up, then the first braces from inside",
    "bracer-at-left": "bracer 1: tag line at LEFT, then the first brace",
    "bracer-at-right": "bracer 2: tag line at the right end, then the second brace",
    "zone": "{inside} inside, {outside} outside, and past both ends ({source}.706)",
    "nobody-under-it": "nobody under the wall ({source})",
    "stop-for-gust": "a gust over {limit} on the meter, or thunder anywhere",
    "stop-for-movement": "the foot moves, a sling slides, the line leans, or anyone calls stop",
    "past-it-runs-on": "past {tilt} deg it runs on to plumb by itself: ease in, tag lines tight",
    "every-joint-full": (
        "every joint of those full at head, cleat and floor; the wall after each brace: bracing stages"
    ),
    "plate-fastened": ("the plate fastened to the floor framing, and the line slack by choice, not by wind"),
    "hook-stays-engineer": ("for an engineer: no number of these braces is worked out, so the hook stays on"),
    "hook-stays-no-brace": (
        "no brace is in the file, so the hook stays on: bracing layout says which, and when it comes off"
    ),
    "go-under-gust": "forecast gust for the next two hours under {limit}, no thunderstorms",
    "rigging-looked-over": "rigging tagged and looked over this shift ({source}.251)",
    "first-braces-cut": "first braces cut, heads hung on one fastener, feet marked on the floor",
    "foot-held": "foot held: {by}",
    "foot-not-held": "foot held: nothing declared: NO-GO",
    "one-person-signals": "one person gives signals; everyone has said back what they do",
    "machine-on-firm-ground": (
        "machine on firm level ground, back from edges and drops, chart of this attachment in the cab"
    ),
    "machine-not-declared": (
        "machine not declared here: read its chart at the reach, not the plate on the door"
    ),
    "no-go": "NO-GO as declared: {count} over, listed at the top",
    # Room of a joint.
    "have-room": "{marks}: {there} {where}, {room} have room, {count} counted",
    "cleat-over-no-joist": (
        '{marks}: one cleat of two lies over no joist and needs blocks under it; foot_on = "block" has them checked'
    ),
    "cleat-over-none": "{marks}: one cleat of two lies over no joist and needs blocks under it, which are not checked",
    "all-near-the-cut": "{marks}: {there} {where}, so near the level cut that each counts {part}",
    "near-the-cut": "{few}, so near the level cut that each counts {part}",
    "at-the-head": "at the head",
    "at-the-cleat": "at the cleat",
    "at-each-joist": "through a cross cleat into each joist",
    "to-the-floor": "to the floor",
    # What is done to a wall, by the kind of the remedy: in a few words, and in full, with how much there is then.
    "short-stud": "double studs",
    "remedy-stud": "a second stud full height at {at}, on the side away from the brace",
    "short-joist": "block under feet",
    "remedy-joist": "solid blocks between the joists under the foot of {at}, the cleat screwed through into them",
    "short-block-ends": "more into ends of blocks",
    "remedy-block-ends": "{many} through the joists into each end of every block under a foot",
    "short-tie": "tie row",
    "remedy-tie": "{ties}{instead}",
    "short-stiffener": "T",
    "remedy-stiffener": "a second {size} along {at}, edge to its face as a T, {head} every {apart}",
    "short-head": "more at heads",
    "remedy-head": "{head} at the head: {each}",
    "short-head-side-cleat": "side cleats",
    "remedy-head-side-cleat": "a side cleat at the head of every brace, so that it takes pull",
    "short-head-screws": "screws for nails at heads",
    "remedy-head-screws": "{after} beside every nail at the heads; the nails then count for nothing",
    "short-cleat": "more brace to cleat",
    "remedy-cleat": "{cleat} from brace to cleat: {each}",
    "short-cleat-screws": "screws for nails brace to cleat",
    "remedy-cleat-screws": "{after} beside every nail, brace to cleat; the nails then count for nothing",
    "short-floor-screws": "screws for nails cleat to floor",
    "remedy-floor-screws": "{after} beside every nail, cleat to floor; the nails then count for nothing",
    "short-floor": "more cleat to floor",
    "remedy-floor": "{floor} from cleat to floor: {each}",
    "short-cross-cleat-fasteners": "more into cross cleats",
    "remedy-cross-cleat-fasteners": "{many} through every cross cleat into each of its joists",
    "short-second-cleat": "second cleats",
    "remedy-second-cleat": (
        "a second cleat on the other side of every foot; in both together {cleat} to the brace: {cleats}; {floor} to "
        "the floor: {floors}"
    ),
    "blocks-under-cleats": (
        "{count} solid {size} blocks between the joists, under the cleats that lie over none, {ends} through the "
        "joists into each end"
    ),
    "short-plate-state": "nail plate off",
    "remedy-plate-state": "the bottom plate nailed off for good: {fastener} every {spacing}",
    "short-plate-screws": "plate screws",
    "remedy-plate-screws": "{many} through the bottom plate within {near} of each brace{edge}{instead}",
    "short-plate-nails": "plate nails",
    "remedy-plate-nails": "bottom plate: {fastener} every {after}{instead}",
    "short-sheathing-to-plate": "sheathing to plate",
    "remedy-sheathing-to-plate": "the sheathing nailed to the bottom plate: {fastener} every {foot}",
    "short-sheathing-nails": "sheathing nails",
    "remedy-sheathing-nails": "sheathing to its foot: {fastener} every {after}{instead}",
    "short-sheathing-on-studs": "sheathing on studs",
    "remedy-sheathing-on-studs": "sheathing on the studs: {fastener} every {after}{instead}",
    "short-strap-at-the-foot": "straps at the foot",
    "remedy-strap-at-the-foot": "a strap from stud to floor framing at each brace, allowable {after}",
    "short-strap": "straps at the top plate",
    "remedy-strap": "a strap or screws from top plate to each braced stud, allowable {after}",
    "short-end-nails": "end nails",
    "remedy-end-nails": "{many} through the top plate into each stud{instead}",
    "short-splice": "splice top plates",
    "remedy-splice": "both top plates nailed together, joints lapped {lap}",
    "short-tie-nails": "nails at ties",
    "remedy-tie-nails": "{many} where a tie row crosses each brace{instead}",
    "short-diagonal-nails": "nails of diagonals",
    "remedy-diagonal-nails": "{many} at each end of a tie row's diagonals{instead}",
    "short-header": "header nails",
    "remedy-header": "{many} into header and sill ends of the opening at {opening}{instead}",
    "add": "add {mark}: {brace}",
    "instead-of": " instead of {before}",
    "as-many-as-there-are": "as many as there are",
    "raised": "{mark} {before} to {after}",
    "every-brace": "every brace",
    # Parts: what is bought and brought, a fastener apart, which goes by its name.
    "stick-of": "{size} x {length}",
    "block-of": "block {size} x {length}",
    "cleat-of": "{size} cleat, {length}",
    "lumber-for": "{size} for the {row}",
    "piece-head-side-cleat": "2x4 side cleat, {length}, at the head",
    "strap-at-the-top": "strap, top plate to stud",
    "strap-at-the-foot": "strap, stud to floor framing",
    "strap-of": "{strap}, allowable {load}",
    "so-much-of": "{much} of {what}",
    # A walk: what it asks, what may be answered, and what was found.
    "walk-begins": (
        'At each brace: Enter = as planned; else what is there, such as "floor 4", "joist missed" or "missing"; "?" '
        "lists all that can be said. Every answer is kept as it is given."
    ),
    "walk-answers": (
        'Enter = as planned. Else what is there: "floor 4" (or head, cleat: how many fasteners), "joist missed", "stud '
        '{stud}", "missing", "split head" (or cleat, floor, stick), "ties 0", "2x4", "head at {head}", "foot at {foot} '
        'out", "stud not doubled", "no T"; several with commas between. "back" asks the last one again.'
    ),
    "walk-taken-up": "Taken up again: {answered} of {of} braces were answered before.",
    "walk-brace": (
        "{mark}: {size} on the stud at {at}, head at {head}, foot {foot} out; {heads} at the head, {cleats} to the "
        "cleat, {floors} to the floor{joist}{doubled}{tee}{ties}{missing}"
    ),
    "walk-joist": ", into a joist",
    "walk-block": ", into blocks between joists",
    "walk-cross-cleats": ", on cross cleats",
    "walk-doubled": ", stud doubled",
    "walk-ties": ", ties {ties}",
    "walk-missing": '. MISSING at the last walk; Enter = still missing, "there" = as planned',
    "walk-tee": ", a second stick nailed on as a T",
    "walk-extra": (
        "A brace that is up and not named here? Enter = none; else such as "
        '"{stud}, head {head}, back {foot}, 2x6, 4/4/5"'
    ),
    "walk-looks": (
        'Now what the wall counts on beside its braces: Enter = seen, and as planned; "not seen"; "none" where it is '
        'not there; else what is there, by its name, such as "spacing {spacing}"; several with commas between. What '
        "nobody looked at leaves the wall a PLAN."
    ),
    "walk-look": "{what}: {facts}",
    "walk-fact": "{name} {value}",
    "walk-number": "{what}, no. {number}",
    "walk-names": 'Enter, "not seen", "none", or one of these and what is there: {names}',
    "yes": "yes",
    "no": "no",
    "not-known": "not known",
    "found-fact": "{what}: {name} {there}, planned {planned}",
    "walked-not-seen": "Walked {when}, and a PLAN still: not looked at, or changed since: {looks:; }.",
    "look-up": "braces",
    "look-heads": "heads of the braces",
    "look-cleats": "cleats at their feet",
    "look-braces": "stamps of the braces",
    "look-ties": "tie rows, and the diagonals that anchor them",
    "look-deck": "deck panel",
    "look-joists": "joists",
    "look-blocks": "blocks",
    "look-cross": "cross cleats",
    "look-anchors": "anchors, stakes or weights",
    "look-plate": "bottom plate",
    "look-extra": "bottom plate at each brace",
    "look-sheathing": "foot of the sheathing",
    "look-straps": "straps, stud to floor",
    "look-openings": "openings",
    "look-studs": "studs",
    "look-layers": "layers",
    "look-rows": "rows across the studs",
    "look-top": "top plate",
    "look-below": "floor",
    "walk-refused": "{mark}: got {got}; expected {expected}",
    "from-to": "from {least} to {most}",
    "length-with-its-unit": "a length with its unit, such as {such}",
    "size-of-lumber": "a size of lumber, such as 2x4",
    "head-no-higher": "a head no higher than its stud, {top}",
    "on-a-full-stud": "the centre of a full-height stud; the nearest are at {nearest: and } from LEFT",
    "no-joist-lies-there": "joist missed with it: none of the declared joists lies under a foot there",
    "found-at": "{what} at {there}, planned {planned}",
    # A forecast.
    "times-sustained": "sustained {given} x {factor} = {gust}",
    "no-less-in-storms": "thunderstorms: no less than {gust}",
    "read-back": "Read as {count} rows, {start} to {end}, {zone}: {what:; }.",
    # What first.
    "first-head": "WHAT FIRST, for {people} people on one wall at a time, {until}.",
    "first-until": "from now until {until}",
    "first-no-end": "from now on",
    "first-most": (
        "{done} of {count} walls that are over in gusts to {gust} come within, in {minutes} min; no other choice does "
        "more, or as many sooner."
    ),
    "first-best-found": (
        "{done} of {count} walls that are over in gusts to {gust} come within, in {minutes} min: the best found, not "
        "proved."
    ),
    "first-out-now": "CLEAR OUT now, and stay out of their zones while the others are worked on: {walls:, }.",
    "first-no-time": "NOT SAVED, no time for its {minutes} min",
    "first-not-on-hand": "NOT SAVED, not on hand: {lacks:; }",
    "first-needs-a-machine": "NOT SAVED, people must be out of its zone now: only with a machine on it from the start",
    "first-engineer": "NOT SAVED, outside what this tool covers: an engineer's",
    "first-nothing-covers": "NOT SAVED, no work on a standing wall covers it: {why}",
    "first-now": "now",
    "first-by": "by {when}",
    "first-lay-down": (
        "CLEAR OUT {when}, {zone} and more from it; or LAY IT DOWN before {before}, with a machine, in gusts under "
        "{limit}."
    ),
    "first-stay-out": "CLEAR OUT {when}, {zone} and more from it, and STAY OUT until the wind is past.",
    "first-all-out": "CLEAR OUT of all of them by {when}, done or not.",
    "first-within": "Within as they stand: {walls:, }. People are out of their zones from their clear-out gusts on.",
    "first-take": "Take, for all of it:",
    "first-not-counted": "NOT COUNTED, look for it before you start: {what:; }.",
    "first-assumed": "ASSUMED: {what:; }.",
    "first-two-people": "two people",
    "first-a-box": "{count} in a box of {what}",
    "read-own-clock": "this computer's clock",
    "read-gusts": "gusts of {speeds} in {count}",
    "read-winds": "no gust in {count}, so {factor} times their wind of {speeds}",
    "speeds-between": "{low.number} to {high}",
    "read-storms": "thunderstorms in {count}",
    # The sums of a link.
    "reaches-its-limit": "{what} reaches its limit at {limit}, with wind from {wind}.",
    "link-at-a-brace": "{link} at {mark}",
    "link-at": "{link} at {at} from LEFT",
    # A brace: where it stands, what is beside it, how it is fastened.
    "brace": (
        "{size} on the stud at {at} from LEFT{laps}, head {head}, foot {foot} out{ties}{stiffener}{stud}; {joints}"
    ),
    "laps-on": ", lapped on its {side}",
    "with-ties": ", {ties}",
    "with-a-t": ", with a T",
    "with-stud-doubled": ", its stud doubled",
    "joints-on-the-ground": "{head} at the head, {foot} at the foot",
    "joints-of-one-cleat": "{head} at the head, {cleat} into its cleat, {floor} to the floor{into}",
    "joints-of-two-cleats": "{head} at the head, {cleat} into its two cleats, {floor} to the floor{into}",
    "into-joists": " into joists",
    "into-the-blocks": " into blocks between joists",
    "into-the-cross-cleats": " into the cross cleats",
}
