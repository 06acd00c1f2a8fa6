"""Reading a cue's plain words: sentence by sentence, each claim with its place, each place with what is there.

One fitting thing is lit; none is a fault where the claim is clear; several are a question with the choices. What is
unsure is left alone: a wrong light is worse than none.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Literal

from lessonmaker.score.position import Span, bars_in, format_span, whole_bars
from lessonmaker.script.model import Cue, Lit, Mention, Understood
from lessonmaker.script.music import Music
from lessonmaker.script.pattern_store import pattern_of
from lessonmaker.script.plain.acting_chords import acting_chords
from lessonmaker.script.plain.alike_words import alike_claims, model_in
from lessonmaker.script.plain.bars_alone import is_of_elsewhere, is_spoken_of
from lessonmaker.script.plain.chord_rows import moved_names
from lessonmaker.script.plain.claim import Claim
from lessonmaker.script.plain.claims import claims_in
from lessonmaker.script.plain.crosscheck import Shown, Told, loose_bars, untrue
from lessonmaker.script.plain.decide import Decided, Decider
from lessonmaker.script.plain.decided import NOTHING
from lessonmaker.script.plain.described import (
    Described,
    claim_of,
    described,
    may_describe,
    names_a_row,
    names_a_term,
    things_in,
)
from lessonmaker.script.plain.doubtful import is_doubtful, without_doubtful
from lessonmaker.script.plain.each_goal import with_each_goal
from lessonmaker.script.plain.ground import Ground
from lessonmaker.script.plain.group_starts import with_group_starts
from lessonmaker.script.plain.left_over import left_over
from lessonmaker.script.plain.name_rows import with_name_rows
from lessonmaker.script.plain.name_runs import with_runs_between
from lessonmaker.script.plain.named_chords import absent_chord, present_chord
from lessonmaker.script.plain.names_beside import names_beside
from lessonmaker.script.plain.one_and_other import with_one_and_other
from lessonmaker.script.plain.onward import onward
from lessonmaker.script.plain.parts import parts_of
from lessonmaker.script.plain.place import Context, Place, Test
from lessonmaker.script.plain.places import places_in
from lessonmaker.script.plain.reference import Facts, facts_in_sight, refer, settle
from lessonmaker.script.plain.restated import Restated, restated
from lessonmaker.script.plain.rows import with_rows
from lessonmaker.script.plain.scattered import without_scattered
from lessonmaker.script.plain.scope import Scope, scopes_of
from lessonmaker.script.plain.second_look import any_degrees, bare_ordinal, things_put_otherwise
from lessonmaker.script.plain.set_beside import is_set_beside
from lessonmaker.script.plain.squeezed import with_squeezed
from lessonmaker.script.plain.stance import meant, says_nothing_of
from lessonmaker.script.plain.stance_words import WISHES
from lessonmaker.script.plain.step_rows import is_told_already, step_rows
from lessonmaker.script.plain.text import Sentence, sentences_in
from lessonmaker.script.plain.there import doubted, is_definite, is_known, is_own, is_pinned
from lessonmaker.script.plain.told_chains import with_told_chains
from lessonmaker.script.plain.told_runs import with_told_runs
from lessonmaker.script.plain.told_stretches import with_told_stretches
from lessonmaker.script.plain.told_twice import with_told_twice
from lessonmaker.script.plain.understanding import as_said, doubted_said, surest
from lessonmaker.script.plain.view import View

__all__ = ["read_plain"]

A_BAR = pattern_of(r"\b(?:bar|measure)s?\b")


# What finds names of notes that are read together; each takes the claims that the one before has left.
NAMES_TOGETHER = (
    with_rows,
    with_name_rows,
    with_squeezed,
    with_told_stretches,
    with_told_runs,
    with_runs_between,
    with_told_chains,
    with_told_twice,
    with_group_starts,
    with_each_goal,
    with_one_and_other,
)
LIKE = pattern_of(r"\b(?:as|like|than)(?: in| the)* $")


def read_plain(
    cue: Cue, spans: Sequence[Span], bars: Collection[int] | None, music: Music, linked: Sequence[Understood]
) -> tuple[Understood, ...]:
    """What the plain words of a cue claim.

    Args:
        cue: the cue, with its commentary.
        spans: what it shows.
        bars: indices of the bars in sight; None where a fault has hidden them (nothing is read then).
        music: the score as it is heard.
        linked: what the links were understood to mean, which gives context.
    """
    if cue.say is None or bars is None or not spans or not music.score.bars:
        return ()
    reader = Reader(music, spans, bars)
    for sentence in sentences_in(cue.say, music, linked):
        reader.read(sentence)
    return tuple(reader.found)


class Reader:
    """Reads the sentences of a cue in order, and remembers where and what the last one spoke of."""

    def __init__(
        self, music: Music, spans: Sequence[Span], bars: Collection[int], *, is_plain: bool = False
    ) -> None:
        self.music, self.spans, self.bars, self.is_plain = music, spans, bars, is_plain
        self.view = View(music, bars)
        self.before: Span | None = None
        self.notes: tuple[str, ...] = ()
        self.chords: tuple[Test, ...] = ()
        self.found: list[Understood] = []

    def read(self, sentence: Sentence, *, whole: bool = True) -> None:
        """Read one sentence, or the part of one that says nothing as a whole."""
        count = len(self.found)
        context = Context(self.music, self.spans, self.before)
        places = places_in(sentence, context)
        likened = self.likened(sentence, places)
        every = places
        if any(claim.name == "comparison" for claim in likened):
            places = tuple(place for place in places if not _is_model(sentence, place))
        places = tuple(place for place in places if not self.is_only_likened(sentence, place, every))
        named = claims_in(sentence, likened)
        for with_names in NAMES_TOGETHER:
            named = with_names(self.ground(sentence, places), named)
        claims = meant_all = self.meant(sentence, named, places)
        decider = self.decider(sentence, places)
        claims, scopes = decider.taken_apart(claims, scopes_of(sentence, claims, places))
        decided = decider.decide(claims, scopes)
        missing = self.missing_bars(sentence, places, scopes)
        decided = [
            NOTHING if set(missing) & set(scope.used) else each
            for each, scope in zip(decided, scopes, strict=True)
        ]
        decided = without_scattered(sentence, claims, decided, places, self.music)
        claims, decided = self.stepped(sentence, places, claims, decided)
        self.keep(sentence, claims, decided)
        for place in missing:
            self.keep_missing(sentence, place)
        if len(meant_all) == len(named):
            left = self.keep_left_over(sentence, claims, decided, places)
            lost = decider.lost_goals(claims, decided, left)
            self.keep(sentence, [claim for claim, _ in lost], [each for _, each in lost])
        chord = self.keep_named(sentence, places, decided)
        linked = any(pointer.is_link for pointer in sentence.pointers)
        if not linked and not chord and not any(each.says for each in decided) and len(self.found) == count:
            self.read_otherwise(sentence, every, named, meant_all, whole=whole)
            if len(self.found) == count:
                acting = acting_chords(sentence, places, self.spans, self.music)
                self.found += [
                    self.understood(sentence, said.first, said.last, each) for said, each in acting
                ]
        sure = not whole or linked or self.settle(self.ground(sentence, places), named, meant_all, count)
        apart = any(is_set_beside(sentence, place) for place in every)
        if sure and whole and not linked and not apart:
            self.cross_check(sentence, places, named, self.found[count:])
        self.drop_doubtful(sentence, places, named, count)
        self.remember(sentence, places, decided)

    def ground(self, sentence: Sentence, places: Sequence[Place]) -> Ground:
        """What the names of notes in a sentence are looked for in."""
        return Ground(sentence, places, self.spans, self.music)

    def cross_check(
        self,
        sentence: Sentence,
        places: Sequence[Place],
        named: Sequence[Claim],
        found: Sequence[Understood],
    ) -> None:
        """Note down what else a sentence says that is false of what it has lit, where nothing is called false yet."""
        nowhere = any(place.level == "bar" and not place.spans for place in places)
        if nowhere or any(each.status == "fault" for each in found):
            return
        shown = [self.shown(sentence, each, each.mention) for each in found if each.mention is not None]
        loose = loose_bars(sentence, self.music, self.bars, places)
        told = Told(sentence, self.music, self.spans, self.bars, [*places, *loose], named, shown)
        false = untrue(told)
        if false is None:
            return
        each = Decided(target=false.target, what=false.what, todo=false.todo)
        said = self.understood(sentence, false.first, false.last, each)
        if not (sentence.is_short and false.sure):
            self.found.append(doubted_said(said))
            return
        self.found = [one for one in self.found if one not in found or not _is_device_of(one, said)]
        self.found.append(said)

    def settle(self, ground: Ground, named: Sequence[Claim], kept: Sequence[Claim], count: int) -> bool:
        """Set what was read right by which notes the names most likely mean; False where it is in doubt."""
        sentence = ground.sentence
        referents = refer(ground, named, self.facts)
        unmeant = [claim for claim in named if claim not in kept]
        settled = settle(self.found[count:], referents, sentence, self.facts.at, unmeant)
        lit = [
            ground.set_of(each.claim.first, each.claim.last, [self.music.line[each.note]])
            for each in settled.lit
            if each.note is not None
        ]
        self.found[count:] = [doubted_said(one) if one in settled.doubted else one for one in settled.kept]
        decided = self.decided(sentence, lit, ground.places)
        self.keep(sentence, lit, [each for _, each in decided])
        self.found[count:] = sorted(self.found[count:], key=lambda each: each.first)
        return not settled.doubted

    @cached_property
    def facts(self) -> Facts:
        """What is to be said of the notes in sight."""
        return facts_in_sight(self.music, self.spans)

    def shown(self, sentence: Sentence, each: Understood, mention: Mention) -> Shown:
        """What was lit, by its place in the sentence."""
        notes = [self.music.struck_by_id[lit.note] for lit in mention.notes]
        first = bisect_left(sentence.offsets, each.first)
        last = bisect_left(sentence.offsets, each.last)
        in_time = tuple(sorted(notes, key=lambda note: note.onset))
        return Shown(first, last, in_time, mention.span, mention.device)

    def read_otherwise(
        self,
        sentence: Sentence,
        places: Sequence[Place],
        named: Sequence[Claim],
        kept: Sequence[Claim],
        *,
        whole: bool,
    ) -> None:
        """Read a sentence that has said nothing so far: less strictly, for its bars alone, or by a part of it."""
        count = len(self.found)
        if places:
            self.look_again(sentence, named, kept, places)
        plain = len(kept) == len(named) and not any(each.sure or each.stance == "denied" for each in kept)
        if len(self.found) == count and plain and whole and not self.is_plain:
            self.read_in_own_words(sentence, places, named)
        if len(self.found) == count and plain:
            self.read_bars(sentence, places)
        denied = any(each.stance == "denied" for each in kept)
        if len(self.found) == count and whole and not sentence.is_question and not denied:
            self.read_part(sentence)

    def drop_doubtful(
        self, sentence: Sentence, places: Sequence[Place], named: Sequence[Claim], count: int
    ) -> None:
        """Take back faults that are likely none: by the words beside them, or where something else is described."""
        found = self.found[count:]
        if not any(each.status == "fault" for each in found):
            return
        own_words = not (self.is_plain or names_a_term(named))
        own_words = own_words and all(place.level == "chord" for place in places)
        told = self.described(sentence, places) if own_words else None
        sure = told is not None and told.is_sure
        kept = without_doubtful(sentence, found, described=sure)
        self.found[count:] = kept
        if sure and not kept and found:
            self.read_described(sentence, places, named)

    def read_in_own_words(self, sentence: Sentence, places: Sequence[Place], named: Sequence[Claim]) -> None:
        """Note down what a sentence states, or else describes, in words of its own."""
        stated = None if sentence.is_question else restated(sentence.text, places)
        if stated is None:
            self.read_described(sentence, places, named)
        elif not any(claim.name == stated.form for claim in named):
            count = len(self.found)
            self.cross_check(sentence, places, named, [])
            if len(self.found) == count:
                self.found += self.read_restated(sentence, stated, places)

    def read_restated(self, sentence: Sentence, said: Restated, places: Sequence[Place]) -> list[Understood]:
        """What a sentence comes to in the plain words of what it states; nothing where that is in doubt."""
        if not said.text or not self.is_stated(sentence, said, places):
            return []
        reader = Reader(self.music, self.spans, self.bars, is_plain=True)
        reader.before, reader.notes, reader.chords = self.before, self.notes, self.chords
        offsets = sentence.offsets[:1] * len(said.text)
        reader.read(replace(sentence, text=said.text.lower(), written=said.text, offsets=offsets))
        return [as_said(sentence, said, each) for each in surest(reader.found)]

    def is_stated(self, sentence: Sentence, said: Restated, places: Sequence[Place]) -> bool:
        """Whether a sentence states of this music what it is taken to state."""
        claims = meant(sentence, [Claim("line", said.first, said.last, said.form)], places)
        return any(claim.stance in ("stated", "found") for claim in claims)

    def described(self, sentence: Sentence, places: Sequence[Place]) -> Described | None:
        """What a sentence most likely describes of the bars that it speaks of."""
        bars = [place for place in places if place.level == "bar" and place.spans and not place.pointed]
        spans = [span for place in bars for span in place.spans] or list(self.spans)
        return described(sentence.text, things_in(self.music, spans))

    def read_described(self, sentence: Sentence, places: Sequence[Place], named: Sequence[Claim]) -> None:
        """Note down what a sentence describes in words of its own, where the bars it speaks of have it once."""
        missing = any(place.level == "bar" and not place.spans for place in places)
        if missing or not may_describe(sentence, named):
            return
        told, count = self.described(sentence, places), len(self.found)
        if told is None or not (told.is_sure if names_a_row(named) else told.is_likely):
            return
        self.cross_check(sentence, places, named, [])
        if len(self.found) > count:
            return
        claims = meant(sentence, [claim_of(told.thing, told.first, told.last)], places)
        claims = [claim for claim in claims if claim.stance in ("stated", "found")]
        found = self.seen(sentence, claims, places)
        self.keep(sentence, [claim for claim, _ in found], [each for _, each in found])

    def read_part(self, sentence: Sentence) -> None:
        """Read the longest part of a sentence that says something by itself, where the whole says nothing."""
        count = len(self.found)
        for part in parts_of(sentence):
            kept = (self.before, self.notes, self.chords)
            self.read(part, whole=False)
            self.before, self.notes, self.chords = kept
            if any(not A_BAR.search(each.words) for each in self.found[count:]):
                return
            del self.found[count:]

    def is_only_likened(self, sentence: Sentence, place: Place, places: Sequence[Place]) -> bool:
        """Whether a bar is only what another is like, or unlike: "the same idea as bar one", "it is not bar two".

        Where the cue shows it, the other has to be named before it.
        """
        if is_set_beside(sentence, place):
            return True
        like = place.level == "bar" and place.spans and LIKE.search(sentence.text[: place.first])
        bars = {bar for span in place.spans for bar in bars_in(self.music.score, span)}
        named = any(other.level == "bar" and other.last <= place.first for other in places)
        return bool(like) and ((named and not place.pointed) or not bars & set(self.bars))

    def likened(self, sentence: Sentence, places: Sequence[Place]) -> list[Claim]:
        """What a sentence says is alike, where that comes to anything: what does not, takes no words from others."""
        claims = list(alike_claims(sentence))
        if not claims:
            return []
        others = claims_in(sentence)
        decider = self.decider(sentence, places)
        decided = decider.decide_alike(claims, scopes_of(sentence, claims, places), others)
        return [claim for claim, each in zip(claims, decided, strict=True) if each.says]

    def stepped(
        self,
        sentence: Sentence,
        places: Sequence[Place],
        claims: Sequence[Claim],
        decided: Sequence[Decided],
    ) -> tuple[list[Claim], list[Decided]]:
        """The claims and what they came to, bare steps in a row as the chords that stand on them."""
        found, came = list(claims), list(decided)
        rows = meant(sentence, [*step_rows(sentence), *moved_names(sentence)], places)
        for row in (row for row in rows if row.stance == "stated"):
            if is_told_already(row, found, came, self.music):
                continue
            (each,) = self.decider(sentence, places).decide([row], scopes_of(sentence, [row], places))
            if each.mention is None and not each.what:
                continue
            kept = [
                (claim, was)
                for claim, was in zip(found, came, strict=True)
                if (claim.last <= row.first or row.last <= claim.first)
                and not (claim.kind == "key" and was.mention and was.target == each.target)
            ]
            kept = sorted([*kept, (row, each)], key=lambda pair: pair[0].first)
            found, came = [claim for claim, _ in kept], [was for _, was in kept]
        return found, came

    def decider(self, sentence: Sentence, places: Sequence[Place]) -> Decider:
        """What decides the claims of a sentence, from where and what the last one spoke of."""
        return Decider(
            self.music, sentence, self.spans, self.before, self.notes, places, chords_before=self.chords
        )

    def meant(self, sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
        """The claims of a sentence that are meant, by how they are said or because they are plainly there."""
        kept = meant(sentence, named, places)
        left = doubted(sentence, named, kept)
        there = self.there(sentence, named, places) if left else []
        found = [claim for claim in left if any(claim.first <= each.first < claim.last for each in there)]
        return sorted([*kept, *found], key=lambda claim: claim.first)

    def there(self, sentence: Sentence, named: Sequence[Claim], places: Sequence[Place]) -> list[Claim]:
        """Those claims that would be lit, just where they are pinned to, if all that a sentence names were meant."""
        decider = self.decider(sentence, places)
        claims, scopes = decider.taken_apart(named, scopes_of(sentence, named, places))
        decided = decider.decide(claims, scopes)
        return [
            claim
            for claim, scope, each in zip(claims, scopes, decided, strict=True)
            if self.is_there(sentence, claim, scope, each, named)
        ]

    def is_there(
        self, sentence: Sentence, claim: Claim, scope: Scope, each: Decided, named: Sequence[Claim]
    ) -> bool:
        """Whether a claim is plainly there: it would be lit where it is pinned to, or is one of a few known notes."""
        if self.view.is_seen(each):
            own = is_pinned(sentence, claim, scope) or is_own(sentence, claim)
            return own or (len(self.bars) == 1 and is_definite(sentence, claim))
        return bool(each.choices) and is_known(sentence, claim, named)

    def keep(self, sentence: Sentence, claims: Sequence[Claim], decided: Sequence[Decided]) -> None:
        """Note down what the claims came to."""
        for claim, each in zip(claims, decided, strict=True):
            if each.says and not _is_linked(sentence, each):
                first = claim.first if each.since is None else each.since
                said = self.understood(sentence, first, max(claim.last, each.until), each)
                doubtful = said.status == "fault" and is_doubtful(sentence, claim)
                self.found.append(doubted_said(said) if doubtful else said)

    def keep_left_over(
        self,
        sentence: Sentence,
        claims: Sequence[Claim],
        decided: Sequence[Decided],
        places: Sequence[Place],
    ) -> list[Claim]:
        """Note down, and return, the names that mean a note only beside those that were read."""
        left = left_over(sentence, claims, decided, places, self.music)
        left = [claim for claim in meant(sentence, left, places) if claim.stance == "stated"]
        ground = self.ground(sentence, places)
        for more in (onward, names_beside):
            left += more(ground, claims, decided, left)
        decider = self.decider(sentence, places)
        self.keep(sentence, left, decider.decide(left, scopes_of(sentence, left, places)))
        return left

    def keep_named(self, sentence: Sentence, places: Sequence[Place], decided: Sequence[Decided]) -> bool:
        """Note down a chord that is named and is not there, where nothing else is false, or is all that is said."""
        named = absent_chord(sentence, places, self.spans, self.music)
        if named is None and not any(each.says for each in decided):
            named = present_chord(sentence, places, self.spans, self.music)
        if named is None or any(each.what or each.choices for each in decided):
            return False
        said, each = named
        self.found.append(self.understood(sentence, said.first, said.last, each))
        return True

    def look_again(
        self, sentence: Sentence, named: Sequence[Claim], kept: Sequence[Claim], places: Sequence[Place]
    ) -> None:
        """Note down what a sentence with places may mean, of which nothing was read."""
        ordinal = None if sentence.is_question else bare_ordinal(sentence, kept, places)
        found = self.decided(sentence, [ordinal], places) if ordinal is not None else []
        found = [pair for pair in found if pair[1].what and not pair[1].choices]
        found = found or self.seen(
            sentence, meant(sentence, any_degrees(sentence, named, places), places), places
        )
        found = found or self.seen(sentence, things_put_otherwise(sentence, named, kept), places)
        self.keep(sentence, [claim for claim, _ in found], [each for _, each in found])

    def seen(
        self, sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]
    ) -> list[tuple[Claim, Decided]]:
        """Those of some claims that light something in sight, with what they come to."""
        return [pair for pair in self.decided(sentence, claims, places) if self.view.is_seen(pair[1])]

    def decided(
        self, sentence: Sentence, claims: Sequence[Claim], places: Sequence[Place]
    ) -> list[tuple[Claim, Decided]]:
        """Claims with what they come to."""
        decided = self.decider(sentence, places).decide(claims, scopes_of(sentence, claims, places))
        return list(zip(claims, decided, strict=True))

    def understood(self, sentence: Sentence, first: int, last: int, each: Decided) -> Understood:
        """A decision with its words; what is not in sight is a question."""
        told = sentence.offsets[first:last]  # in no order where a question and its answer are one
        start, end = min(told), max(told) + 1
        words, place = sentence.words(first, last), sentence.place(first)
        each = self.view.trimmed(each)
        if each.mention is not None and not self.view.in_sight(each.mention):
            where = self.music.said(each.mention.span)
            what = f"“{words}” is in {where}, which the cue does not show"
            todo = "show those bars too, or say it in a cue of its own"
            return Understood(words, place, start, end, "question", None, "", (each.target,), what, todo)
        status: Literal["lit", "fault", "question"]
        status = "lit" if each.mention is not None else "question" if each.choices else "fault"
        return Understood(
            words, place, start, end, status, each.mention, each.target, each.choices, each.what, each.todo
        )

    def missing_bars(
        self, sentence: Sentence, places: Sequence[Place], scopes: Sequence[Scope]
    ) -> list[Place]:
        """The bars by number that something is said of, and that the score does not have."""
        if sentence.is_question or pattern_of(WISHES).search(sentence.text) or is_of_elsewhere(sentence):
            return []
        return [
            place
            for place in places
            if place.level == "bar"
            and not place.spans
            and self.is_named(sentence, place)
            and not says_nothing_of(sentence, place)
            and any(place in scope.used for scope in scopes)
        ]

    def keep_missing(self, sentence: Sentence, place: Place) -> None:
        """Note down a bar that the score does not have."""
        what = f"there is no such bar as “{sentence.words(place.first, place.last)}”"
        decided = Decided(what=what, todo="write the number that is printed")
        self.found.append(self.understood(sentence, place.first, place.last, decided))

    def read_bars(self, sentence: Sentence, places: Sequence[Place]) -> None:
        """Bars that are named by themselves: lit where the sentence claims nothing else."""
        if pattern_of(WISHES).search(sentence.text) or pattern_of(r"\s*no\b").match(sentence.text):
            return
        for place in places:
            named = place.level == "bar" and not place.pointed and self.is_named(sentence, place)
            named = named and not says_nothing_of(sentence, place)
            named = named and is_spoken_of(sentence, place)
            if named and not place.spans:
                self.keep_missing(sentence, place)
            elif named and len(place.spans) == len(place.parts or (place,)):
                self.light_bars(sentence, place)

    def is_named(self, sentence: Sentence, place: Place) -> bool:
        """Whether a place is said by a number or an ordinal, not by "here" or "the next bar"."""
        words = sentence.words(place.first, place.last)
        return not any(
            word in words.split()
            for word in ("here", "there", "this", "that", "next", "following", "previous", "after", "before")
        )

    def light_bars(self, sentence: Sentence, place: Place) -> None:
        """Light bars, if the cue shows them."""
        for span, (first, last) in zip(place.spans, place.parts or ((place.first, place.last),), strict=True):
            target = format_span(self.music.score, span)
            mention = Mention("span", span, (), target=target)
            if self.view.in_sight(mention):
                self.found.append(self.understood(sentence, first, last, Decided(mention, target)))

    def remember(self, sentence: Sentence, places: Sequence[Place], decided: Sequence[Decided]) -> None:
        """Keep for the next sentence where this one spoke of, and which notes it lit last."""
        bars = [place for place in places if place.level == "bar" and len(place.spans) == 1]
        self.chords = tuple(
            place.test for place in places if place.level == "chord" and place.test is not None
        )
        lit = [each.mention for each in decided if each.mention is not None]
        if lit:
            self.before = _bars_round(self.music, lit[-1])
            self.notes = tuple(note.note for note in lit[-1].notes)
        elif bars:
            self.before = bars[-1].spans[0]
        pointed = [pointer for pointer in sentence.pointers if pointer.notes]
        if pointed and not lit:
            self.notes = pointed[-1].notes


def _is_model(sentence: Sentence, place: Place) -> bool:
    """Whether a place is named only as what another one is like."""
    model = model_in(sentence.text)
    return model is not None and model[0] < place.last and place.first < model[1]


def _is_device_of(lit: Understood, false: Understood) -> bool:
    """Whether a device was lit for the very words that are false."""
    device = lit.mention is not None and lit.mention.device is not None
    return device and false.first <= lit.first and lit.last <= false.last


def _is_linked(sentence: Sentence, each: Decided) -> bool:
    """Whether a link of the sentence lights the device that its plain words light once more."""
    if each.mention is None or each.mention.device is None:
        return False
    notes = {lit.note for lit in each.mention.notes}
    return any(pointer.is_link and set(pointer.notes) == notes for pointer in sentence.pointers)


def _bars_round(music: Music, mention: Mention) -> Span:
    lit: set[str] = {note.note for note in mention.notes if isinstance(note, Lit)}
    bars = [note.bar for note in music.struck if note.id in lit] or list(bars_in(music.score, mention.span))
    return whole_bars(music.score, bars)
