"""A part's dimensions in the enquiry's words, as the nouns of the parts room: the two do not see each other."""

from __future__ import annotations

from traywright import enquiry as told
from traywright import parts

Pair = tuple[float, float]


def shape_of(dimensions: told.Dimensions) -> parts.Dimensions:
    """The part's shape for the parts room."""
    if isinstance(dimensions, told.Turned):
        steps = (
            parts.Step(
                length_mm=one.length_mm, diameter_mm=one.diameter_mm, bore_mm=one.bore_mm, chamfer_mm=one.chamfer_mm
            )
            for one in dimensions.step
        )
        return parts.Turned(steps=tuple(steps))
    if isinstance(dimensions, told.Tube):
        return parts.Tube(
            length_mm=dimensions.length_mm,
            width_mm=dimensions.width_mm,
            height_mm=dimensions.height_mm,
            wall_mm=dimensions.wall_mm,
        )
    if isinstance(dimensions, told.Disc):
        return parts.Disc(
            diameter_mm=dimensions.diameter_mm, thickness_mm=dimensions.thickness_mm, bore_mm=dimensions.bore_mm
        )
    if isinstance(dimensions, told.OutlineShape):
        return _outline(dimensions)
    return _plate(dimensions)


def _plate(plate: told.Plate | told.Block) -> parts.Plate:
    """A plate or block with its holes and bosses."""
    holes = (
        parts.Hole(x_mm=one.x_mm, y_mm=one.y_mm, diameter_mm=one.diameter_mm, depth_mm=one.depth_mm)
        for one in plate.hole
    )
    bosses = plate.boss if isinstance(plate, told.Block) else ()
    return parts.Plate(
        length_mm=plate.length_mm,
        width_mm=plate.width_mm,
        thickness_mm=plate.thickness_mm,
        corner_radius_mm=plate.corner_radius_mm,
        holes=tuple(holes),
        bosses=tuple(_boss(one) for one in bosses),
    )


def _boss(boss: told.Boss) -> parts.Boss:
    """A boss; a round one has one size, a square-cornered one two."""
    size = boss.size
    sizes = (size.diameter_mm,) if size.diameter_mm is not None else (size.length_mm, size.width_mm)
    return parts.Boss(
        x_mm=boss.x_mm,
        y_mm=boss.y_mm,
        size_mm=tuple(one for one in sizes if one is not None),
        height_mm=boss.height_mm,
        on_top=boss.side == "top",
    )


def _outline(shape: told.OutlineShape) -> parts.Outline:
    """One thickness, or several levels."""
    if shape.level:
        levels = tuple(
            parts.Level(points_mm=_points(one.points_mm), bottom_mm=one.from_mm, top_mm=one.to_mm)
            for one in shape.level
        )
        return parts.Outline(levels=levels)
    only = parts.Level(points_mm=_points(shape.points_mm), bottom_mm=0.0, top_mm=shape.thickness_mm or 0.0)
    return parts.Outline(levels=(only,))


def _points(points: tuple[Pair | told.ArcTo, ...]) -> tuple[Pair | parts.ArcTo, ...]:
    """Points and arcs of an outline."""
    return tuple(
        parts.ArcTo(to_mm=one.to, centre_mm=one.centre, counter_clockwise=one.way == "ccw")
        if isinstance(one, told.ArcTo)
        else one
        for one in points
    )
