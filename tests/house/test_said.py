"""What answers say of themselves: every id has its words, every words their id, and nothing else fills their places."""

import ast
import re
import string

import pytest
from attrs import frozen

from bracing.chain.assumed import ASSUMPTIONS
from bracing.chain.links import LinkId
from bracing.drawing.glyphs import GLYPHS
from bracing.job.fields import Look
from bracing.layout.changes import rows
from bracing.layout.needed import CHOSEN, GROUPS
from bracing.reading.questions import QUESTIONS
from bracing.results import CAUTIONS
from bracing.said import Said, Verdict
from bracing.sheet.facts import checklists
from bracing.stages.take_down import Event
from bracing.text import es
from bracing.text.en import WORDS
from bracing.text.quantities import ENGLISH, Listed, Quantities, in_words
from bracing.work.remedies import remedies
from bracing.work.words import FILLED
from tests.house.test_words import BANNED_IN
from tests.house.tree import PACKAGE, ROOT, modules, nodes

LANGUAGES = {"en": WORDS}
# Words whose places stand in another order than in English: none holds two numbers that would change places.
OTHER_ORDER = {"a-row-across"}
TEMPLATES = ROOT / "bracing" / "sheet" / "parts"


@frozen
class Call:
    """One thing said in the code: its id, and the names of what it is said with."""

    where: str
    id: str
    names: frozenset[str]


def said_in(module, tree):
    """Every `Said("id", name=value, ...)` of a module; anything else that makes one is a fault."""
    for node in nodes(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Said"):
            continue
        where = f"bracing/{module.replace('.', '/')}.py:{node.lineno}"
        literal = len(node.args) == 1 and isinstance(node.args[0], ast.Constant)
        assert literal, f"{where}: the id of what is said stands there as it is, so that it can be found"
        names = [keyword.arg for keyword in node.keywords]
        assert None not in names, f"{where}: each value by its name"
        yield Call(where, node.args[0].value, frozenset(names))


SAY = re.compile(r"""say(?:_plainly)?\("([a-z0-9-]+)"((?:[^()"]|"[^"]*"|\([^()]*\))*)\)""")


def said_on_pages():
    """Every `say("id", name=value, ...)` of a template."""
    for path in sorted((PACKAGE / "site" / "parts").glob("*.html")):
        text = path.read_text(encoding="utf-8")
        found = list(SAY.finditer(text))
        assert len(found) == text.count("say(") + text.count("say_plainly("), (
            f"{path.name}: the id of what is said stands there as it is"
        )
        for one in found:
            names = re.findall(r"[(,]\s*([a-z_]+)=(?!=)", f",{one[2].lstrip(',')}")
            yield Call(f"bracing/site/parts/{path.name}", one[1], frozenset(names))


def calls():
    return [
        *(call for module, tree in modules().items() for call in said_in(module, tree)),
        *said_on_pages(),
    ]


def of_templates():
    """The ids a template of a page says."""
    found = set()
    for path in TEMPLATES.glob("*.html"):
        for call in re.findall(r'say\(("[^)]*?)[,)]', path.read_text(encoding="utf-8")):
            found |= set(re.findall(r'"([a-z-]+)"(?! ~)', call))
    return found


def of_glyphs():
    """The ids of what the pictures without words show."""
    return {f"picture-{name}" for name in GLYPHS}


def of_choices():
    """The ids of what a layout chooses where nobody declared it: each group, and each field of it."""
    return {*GROUPS, *filter(None, CHOSEN.values())}


def of_remedies():
    """The ids of the rows of the table of remedies, each in a few words and in full."""
    return {f"{how}-{kind.replace(' ', '-')}" for how in ("short", "remedy") for kind in remedies()}


def of_changes():
    """The ids of the rows of the table of what else may be declared."""
    return {f"change-{row.kind.replace(' ', '-')}" for row in rows()}


def of_pieces():
    """The ids of what remedies take beside."""
    return {f"piece-{kind.replace(' ', '-')}" for kind, row in remedies().items() if row.piece}


def of_looks():
    """The ids of what a walk looks at."""
    return {str(look) for look in Look}


def places(template):
    """The names a template has places for; what stands after a dot or a colon is how they are written."""
    return {
        name.partition(".")[0] for _, name, _, _ in string.Formatter().parse(template) if name is not None
    }


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_id_has_words_and_every_words_are_said(language):
    used, words = (
        {call.id for call in calls()}
        | of_remedies()
        | of_changes()
        | of_pieces()
        | of_choices()
        | of_looks()
        | of_templates()
        | of_glyphs(),
        set(LANGUAGES[language]),
    )
    assert (used - words, words - used) == (set(), set())


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_have_a_place_for_every_value_and_no_other(language):
    words = LANGUAGES[language]
    faults = [
        f"{call.where}: {call.id} is said with {sorted(call.names)}, its words take {sorted(places(words[call.id]))}"
        for call in calls()
        if call.id in words and call.names != places(words[call.id])
    ]
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_of_a_remedy_have_places_only_for_what_is_said_of_it(language):
    words = LANGUAGES[language]
    assert {name for id in of_remedies() for name in places(words[id])} <= set(FILLED)
    assert {name for id in of_pieces() for name in places(words[id])} == {"length"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_of_a_change_have_places_only_for_what_is_said_of_it(language):
    words = LANGUAGES[language]
    assert {name for id in of_changes() for name in places(words[id])} == {"value", "load", "size", "length"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_of_a_choice_have_a_place_for_it_alone(language):
    words = LANGUAGES[language]
    assert all(places(words[id]) == {"parts"} for id in GROUPS)
    assert all(places(words[id]) <= {"value"} for id in of_choices() - set(GROUPS))


def every_words(language):
    """All a language says: words by id, terms, lists and questions."""
    if language == "en":
        return dict(WORDS)
    lists = {f"{name} {k}": words for name, (title, lead, items) in es.LISTS.items()
             for k, words in enumerate((title, lead, *items))}  # fmt: skip
    asked = {f"{key} {k}": words for key, both in es.QUESTIONS.items() for k, words in enumerate(both)}
    return {**es.WORDS, **es.TERMS, **lists, **asked, "intro": es.INTRO}


@pytest.mark.parametrize("language", BANNED_IN)
def test_no_words_give_permission(language):
    banned = BANNED_IN[language]
    assert [id for id, words in every_words(language).items() if banned.search(words)] == []


@pytest.mark.parametrize(
    "text",
    ["La pared es segura", "Aguanta 40 mph", "sirve para 52 mph", "no corre peligro", "está a salvo", "la sostiene",
     "Asegure la pared", "aprobado", "soporta el viento"],
)  # fmt: skip
def test_the_rule_sees_a_permission_in_spanish(text):
    assert BANNED_IN["es"].search(text)


@pytest.mark.parametrize("text", ["dentro de su límite", "pasa de su límite", "viento sostenido de 20 mph"])
def test_the_rule_lets_other_spanish_words_be(text):
    assert not BANNED_IN["es"].search(text)


def fields(template):
    """The places of a template and what is written of each: its attribute too, but not what stands between several."""
    return sorted(name for _, name, _, _ in string.Formatter().parse(template) if name)


def test_spanish_has_no_id_of_its_own_and_the_places_of_the_english():
    assert set(es.WORDS) - set(WORDS) == set()
    assert {
        id: fields(words) for id, words in es.WORDS.items() if set(fields(words)) != set(fields(WORDS[id]))
    } == {}


def digits(text):
    return re.findall(r"[0-9]+(?:[./-][0-9]+)*", text)


def test_spanish_has_the_digits_of_the_english_in_its_order():
    """Values of a place count where they stand; words that place them in another order would part the digits."""
    faults = {}
    for id, words in es.WORDS.items():
        english, spanish = (
            re.findall(r"\{[a-z_]+|[0-9]+(?:[./-][0-9]+)*", each) for each in (WORDS[id], words)
        )
        if english != spanish and id not in OTHER_ORDER:
            faults[id] = (english, spanish)
    assert faults == {}


def test_questions_and_lists_in_spanish_are_those_of_the_english():
    assert set(es.QUESTIONS) == {question.key for question in QUESTIONS}
    for question in QUESTIONS:
        ask, why = es.QUESTIONS[question.key]
        assert (digits(ask), digits(why)) == (digits(question.ask), digits(question.why)), question.key
    shapes = [(each.name, len(each.items), digits(" ".join(each.items))) for each in checklists()]
    assert [(each.name, len(each.items), digits(" ".join(each.items))) for each in checklists("es")] == shapes


def test_every_link_and_every_verdict_has_its_spanish():
    assert {*map(str, LinkId), *map(str, Verdict), *map(str, Event)} - set(es.TERMS) == set()


def test_why_a_low_value_is_the_low_one_has_its_spanish():
    """Of every field that takes one undeclared."""
    whys = {row.why for row in ASSUMPTIONS if isinstance(row.why, str)}
    assert len(whys) > 20
    assert whys - set(es.TERMS) == set()


def test_words_stand_once_each():
    said = list(WORDS.values())
    assert [words for words in set(said) if said.count(words) > 1] == []


def test_the_search_sees_what_is_said():
    tree = ast.parse('said = (Said("one", a=1), Said("two"))')
    assert [(call.id, call.names) for call in said_in("x", tree)] == [("one", {"a"}), ("two", set())]
    for wrong in ('Said(f"{x}")', "Said(name)", 'Said("one", **values)'):
        with pytest.raises(AssertionError):
            list(said_in("x", ast.parse(wrong)))
    assert len(calls()) > 20


def test_the_cautions_are_short_enough_to_be_read():
    assert len(" ".join(in_words(CAUTIONS)).split()) < 90


def test_words_without_their_id_are_a_fault_and_no_blank():
    with pytest.raises(KeyError):
        ENGLISH.said(Said("of no language"))


def test_several_at_one_place_stand_between_what_the_words_say():
    assert f"{Listed(('a', 'b'))} {Listed(('a', 'b')):; }" == "a, b a; b"


def test_nothing_said_is_text_to_be_changed_afterwards():
    """A name a person gave that reads like a quantity stays as typed, in metric too."""
    metric = Quantities(metric=True)
    assert metric.said(Said("low-head", mark="8 ft")).startswith("8 ft meets")
