"""The whole analysis of an etude, each part built on those before it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from lessonmaker.analysis.devices.arpeggios import arpeggios_of
from lessonmaker.analysis.devices.cross_rhythm import cross_rhythms_of
from lessonmaker.analysis.devices.displaced import displaced_of
from lessonmaker.analysis.devices.enclosures import approaches_of
from lessonmaker.analysis.devices.guide_tones import guide_tone_lines_of
from lessonmaker.analysis.devices.motifs import motifs_of
from lessonmaker.analysis.devices.passages import passages_of
from lessonmaker.analysis.devices.phrasing import phrasing_of
from lessonmaker.analysis.devices.resolutions import resolutions_of
from lessonmaker.analysis.devices.runs import runs_and_leaps_of
from lessonmaker.analysis.devices.sequences import sequences_of
from lessonmaker.analysis.devices.shape import shapes_of
from lessonmaker.analysis.devices.transformed import transformed_of
from lessonmaker.analysis.devices.uneven import uneven_rhythms_of
from lessonmaker.analysis.etude import Etude
from lessonmaker.analysis.functions import functions_of
from lessonmaker.analysis.harmony import Hear, harmony_of
from lessonmaker.analysis.keys import key_centres
from lessonmaker.analysis.model import Analysis, Device
from lessonmaker.analysis.notes import heard_notes, notes_found
from lessonmaker.analysis.phrases import phrases_of
from lessonmaker.analysis.progressions import progressions_of
from lessonmaker.analysis.proposals import proposals_of
from lessonmaker.analysis.scales import scales_of
from lessonmaker.analysis.tension_curve import tension_curve
from lessonmaker.score.model import Score

__all__ = ["analyse", "analysis_of", "etude_of", "whole_etude"]

FINDERS: tuple[Callable[[Etude], tuple[Device, ...]], ...] = (
    phrasing_of,
    arpeggios_of,
    approaches_of,
    guide_tone_lines_of,
    resolutions_of,
    runs_and_leaps_of,
    sequences_of,
    cross_rhythms_of,
    motifs_of,
    transformed_of,
    displaced_of,
    uneven_rhythms_of,
    shapes_of,
    progressions_of,
)


def etude_of(score: Score, hear: Sequence[Hear] = ()) -> Etude:
    """A score with its notes heard against their chords, ready for what builds on them.

    Args:
        score: the score; its printed order is analysed, each voice by itself.
        hear: (start, end, chord) in quarters, where the author hears another chord than is printed.
    """
    harmony = harmony_of(score, hear)
    heard = heard_notes(score, harmony)
    return Etude(score, harmony, heard, notes_found(heard, harmony))


def whole_etude(score: Score, hear: Sequence[Hear] = ()) -> Etude:
    """The same with its phrases, keys and functions."""
    etude = etude_of(score, hear)
    etude = replace(etude, phrases=phrases_of(etude), keys=key_centres(etude))
    return replace(etude, functions=functions_of(etude))


def analyse(score: Score, hear: Sequence[Hear] = ()) -> Analysis:
    """Everything that is found in a score; the arguments are those of `etude_of`."""
    return analysis_of(whole_etude(score, hear), hear)


def analysis_of(etude: Etude, hear: Sequence[Hear] = ()) -> Analysis:
    """Everything that is found in a whole etude; `hear` is what it was made with."""
    scales = scales_of(etude)
    devices = [device for finder in FINDERS for device in finder(etude)]
    devices = _without_doubles([*devices, *passages_of(etude, scales)])
    return Analysis(
        etude.findings,
        phrases=etude.phrases,
        keys=etude.keys,
        functions=etude.functions,
        scales=scales,
        devices=tuple(sorted(devices, key=lambda device: (device.span.start, device.span.end))),
        proposals=proposals_of(etude, hear),
        tension=tension_curve(etude),
    )


def _without_doubles(devices: list[Device]) -> list[Device]:
    """The devices, each once, without figures that only seem displaced because a cross rhythm moves them."""
    crossing = {name for device in devices if device.kind == "cross rhythm" for name in device.notes}
    told = {(d.kind, d.span, d.text): d for d in reversed(devices)}
    return [d for d in reversed(told.values()) if d.kind != "displacement" or not crossing & set(d.notes)]
