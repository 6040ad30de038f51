"""The job's lumber, panels and fasteners, looked up once for the whole chain."""

from __future__ import annotations

import math
from functools import lru_cache

from attrs import evolve, frozen

from bracing.chain.room import RUN
from bracing.codes.basis import IN_USE, Basis, basis_of
from bracing.codes.joints import GAP, FastenerCapacity, Joint, Ply
from bracing.codes.sticks import DesignValues, Member, Nailing
from bracing.job.fasteners import Fastener, fastener
from bracing.job.floor import Joists
from bracing.job.job import Job
from bracing.job.layers import face_layers, layer
from bracing.job.lumber import section
from bracing.job.own import Layer
from bracing.job.pulls import DECK, JOIST, STUD, PullTest
from bracing.sources import cite
from bracing.sums import Known
from bracing.units import Inch, Radian

ACROSS: Radian = math.pi / 2.0
ANCHOR = "anchor"
DEFAULT_SHEATHING = "osb 7/16"
TABLE_NAIL = "8d common"  # the nail of the table of racking strengths
PAPER: Inch = 0.03125  # 1/32: a layer no thicker leaves the panel on the studs; judgement


@frozen
class Materials:
    """Everything the chain looks up by name; made by `materials_of`.

    Attributes:
        job: the job, without its braces.
        basis: what gives pressures and strengths.
    """

    job: Job
    basis: Basis = IN_USE

    @property
    def moisture(self) -> str:
        """Green or dry."""
        return self.job.wall.moisture

    @property
    def wet(self) -> bool:
        """Whether members count as wet."""
        return self.moisture == "green"

    def stud_values(self, size: str | None = None) -> DesignValues:
        """Design values of the studs and plates, ten-minute load, no repetitive factor at a braced stud.

        Args:
            size: another size of the same lumber, such as a row's.
        """
        studs = self.job.wall.studs
        return self.basis.lumber(studs.species, studs.grade, size or studs.size, wet=self.wet)

    def brace_values(self, size: str) -> DesignValues:
        """Design values of braces and cleats of one size.

        Args:
            size: nominal size.
        """
        return self.basis.lumber(self.job.kit.species, self.job.kit.grade, size, wet=self.wet)

    def joist_values(self, joists: Joists) -> DesignValues:
        """Design values of sawn joists.

        Args:
            joists: the joists.
        """
        return self.basis.lumber(joists.species, joists.grade, joists.size, wet=self.wet)

    def stud(self, size: str | None = None) -> Member:
        """What a stud or plate may carry, or another size of the same lumber.

        Args:
            size: such as a row's; the studs' own unless given.
        """
        return self.basis.member(section(size or self.job.wall.studs.size), self.stud_values(size))

    def fastener(self, name: str) -> Fastener:
        """Look a fastener up by name.

        Args:
            name: as written in the file.
        """
        return fastener(name, self.job.fasteners)

    def capacity(self, name: str, *plies: Ply, rows: int = 1, toe_nailed: bool = False) -> FastenerCapacity:
        """Give one fastener's capacity through some plies.

        Args:
            name: the fastener.
            plies: side member first.
            rows: rows of fasteners.
            toe_nailed: driven as a toe-nail.
        """
        one = self.fastener(name)
        return self.basis.fastener(
            Joint(one, plies, self.moisture, rows=rows, toe_nailed=toe_nailed, pulls=pulls_of(self, one))
        )

    @property
    def anchor(self) -> FastenerCapacity:
        """One anchor in the slab, as declared."""
        slab = self.job.floor.slab
        across, along = (
            Known(value, f"allowable of one anchor {way}, as declared", cite("USER", slab.report or ""))
            for value, way in ((slab.shear_lb, "across"), (slab.tension_lb, "along"))
        )
        return FastenerCapacity(
            name=ANCHOR, kind=ANCHOR, reported=True, lateral=across, lateral_mode="report", withdrawal=along,
            pull_through=None, steel=along, axial=along, axial_mode="report", slip_modulus=0.0, penetration=0.0,
            together=self.basis.together(ANCHOR),
        )  # fmt: skip

    def stud_ply(
        self,
        *,
        thickness: Inch | None = None,
        angle: Radian = ACROSS,
        end_grain: bool = False,
        board: str = STUD,
    ) -> Ply:
        """The stud, or a plate of the same lumber, as a ply of a joint.

        Args:
            thickness: size along the fastener; the stud's thickness unless given [in].
            angle: of the load to its grain [rad].
            end_grain: the fastener runs along its grain.
            board: which it is, of those a fastener is pulled out of.
        """
        thick = section(self.job.wall.studs.size).thickness if thickness is None else thickness
        values = self.stud_values()
        return Ply("wood", thick, values.G, angle, end_grain, of=values.species, board=board)

    def brace_ply(self, size: str, *, thickness: Inch | None = None, angle: Radian = 0.0) -> Ply:
        """A brace or cleat as a ply of a joint.

        Args:
            size: nominal size.
            thickness: size along the fastener; the stick's thickness unless given [in].
            angle: of the load to its grain [rad].
        """
        thick = section(size).thickness if thickness is None else thickness
        values = self.brace_values(size)
        return Ply("wood", thick, values.G, angle, of=values.species)

    def deck_ply(self) -> Ply:
        """The deck panel as a ply of a joint."""
        return evolve(panel_ply(layer(self.job.floor.deck), self.basis), board=DECK)

    def joist_ply(
        self,
        *,
        thickness: Inch | None = None,
        angle: Radian = ACROSS,
        end_grain: bool = False,
        block: bool = False,
    ) -> Ply:
        """A joist under the deck as a ply of a joint, or a block of the same lumber between two.

        Args:
            thickness: size along the fastener; as deep as one from above reaches, or its flange, unless given [in].
            angle: of the load to its grain [rad].
            end_grain: the fastener runs along its grain.
            block: it is a block between two, of which no pull test tells.
        """
        joists = self.job.floor.joists or Joists()
        values = self.joist_values(joists)
        deep = section(joists.size).width if joists.kind == "sawn" else joists.flange
        thick = deep if thickness is None else thickness
        return Ply("wood", thick, values.G, angle, end_grain, of=values.species, board="" if block else JOIST)


def pulls_of(materials: Materials, one: Fastener) -> tuple[PullTest, ...]:
    """Give the pull tests of a fastener.

    Args:
        materials: the job's materials.
        one: the fastener.
    """
    return tuple(test for test in materials.job.pull_tests if materials.fastener(test.fastener) == one)


def pulled_out_of(materials: Materials, name: str, board: str) -> bool:
    """Whether a fastener was pulled out of a board of this job.

    Args:
        materials: the job's materials.
        name: the fastener.
        board: which.
    """
    return any(test.into == board for test in pulls_of(materials, materials.fastener(name)))


def materials_of(job: Job, basis: Basis | None = None) -> Materials:
    """Give the materials of a job: one object for all jobs of the same wall, floor and kit, whatever their braces.

    Args:
        job: the job.
        basis: what gives pressures and strengths; that of the job unless given.

    Example:
        >>> from bracing.job.wall import Wall
        >>> bare = Job(Wall(name="W", top=((0.0, 96.0), (240.0, 96.0))))
        >>> materials_of(bare) is materials_of(bare)
        True
    """
    known = job.declared & {RUN}  # of all that was declared nothing else changes a strength
    bare = Job(
        job.wall,
        floor=job.floor,
        kit=job.kit,
        fasteners=job.fasteners,
        pull_tests=job.pull_tests,
        declared=known,
        basis=job.basis,
    )
    return _kept(bare, basis_of(job) if basis is None else basis)


@lru_cache(maxsize=64)
def _kept(bare: Job, basis: Basis) -> Materials:
    return Materials(bare, basis)


def panel_ply(panel: Layer, basis: Basis = IN_USE) -> Ply:
    """Give a structural panel as a ply of a joint.

    Args:
        panel: the panel.
        basis: gives its gravity.

    Source: NDS table 12.3.3B.
    """
    kind = "plywood" if "plywood" in panel.name.lower() else "osb"
    G = basis.panels[kind]
    return Ply("panel", panel.thickness, G, known=G.how, of=kind)


def sheathing_of(job: Job) -> Layer | None:
    """Give the panel nailed to the studs; the usual thinnest where none is declared; None on a bare frame.

    Args:
        job: the job.
    """
    if not job.wall.sheathed:
        return None
    panels = [found for found in map(layer, job.wall.layers) if found.panel]
    return panels[0] if panels else layer(DEFAULT_SHEATHING)


def under_sheathing(job: Job) -> tuple[Layer, ...]:
    """Give the layers between studs and panel that its nails must reach across, such as foam.

    Layers are declared from the studs out; paper and wrap are too thin to count, and what fills openings is not there.
    Where no panel is declared the usual one is taken to stand on the studs.

    Args:
        job: the job.

    Example:
        >>> from bracing.job.wall import Wall
        >>> foamed = Wall(name="W", top=((0.0, 96.0), (240.0, 96.0)), layers=("housewrap", "foam 1", "osb 7/16"))
        >>> [under.name for under in under_sheathing(Job(foamed))]
        ['foam 1']
    """
    found = tuple(layer(name) for name in face_layers(job.wall.layers))
    first = next((k for k, each in enumerate(found) if each.panel), 0)
    return tuple(each for each in found[:first] if each.thickness > PAPER)


def sheathing_plies(materials: Materials, *, angle: Radian = ACROSS) -> tuple[Ply, ...]:
    """Give what a sheathing nail passes: the panel, the gap of what stands under it, the stud; nothing on a bare frame.

    Args:
        materials: the job's materials.
        angle: of the load to the grain of the stud or plate [rad].
    """
    panel = sheathing_of(materials.job)
    if panel is None:
        return ()
    stud = materials.stud_ply(thickness=section(materials.job.wall.studs.size).width, angle=angle)
    under = under_sheathing(materials.job)
    gap = Ply(GAP, sum(each.thickness for each in under), of=", ".join(each.name for each in under))
    return (panel_ply(panel, materials.basis), *((gap,) if under else ()), stud)


def nailing_of(materials: Materials, *, blocked: bool = False) -> Nailing | None:
    """Give how a wall is sheathed; None of a bare frame, and of layers that are no structural panel.

    Args:
        materials: the job's materials.
        blocked: every panel edge is nailed to framing.
    """
    wall = materials.job.wall
    panel = sheathing_of(materials.job)
    if (
        panel is None
        or not panel.panel
        or (wall.layers and not any(layer(name).panel for name in wall.layers))
    ):
        return None
    plate, plies = wall.plate, sheathing_plies(materials)
    one, other = (materials.capacity(name, *plies).lateral for name in (plate.sheathing_fastener, TABLE_NAIL))
    return Nailing(
        panel=panel_ply(panel, materials.basis).of, thickness=panel.thickness,
        nail=materials.fastener(plate.sheathing_fastener).name, spacing=plate.sheathing_spacing,
        field_spacing=plate.sheathing_field_spacing, blocked=blocked, studs=wall.studs.spacing,
        gravity=materials.stud_values().G, green=materials.wet, beside_8d=one / other if other > 0.0 else 0.0,
    )  # fmt: skip
