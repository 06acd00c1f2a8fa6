"""A long recording of a lesson's commentary, split by the words: where each sentence was read last and whole.

The author reads in order, stumbles, begins again, re-reads what did not please, says other things, plays in
between. What is said is heard freely (`hearing`), laid against the script (`passes`), and the readings of each
sentence are judged from the last one back (`differences`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import accumulate, groupby

from lessonmaker.sound.differences import Part, Telling, told
from lessonmaker.sound.hearing import Heard, Samples, at_hearing_rate, listen, name_of, sounds_like
from lessonmaker.sound.model import Audio, SentenceRead
from lessonmaker.sound.passes import Item, Pass, passes
from lessonmaker.sound.spelling import ends_sentence, spoken_words

__all__ = ["read_sentences", "read_whole"]

LEAST_SHARE = 0.5
"""Of a sentence's words that must be heard for it to be a reading; of one or two words, all."""


MOST_AFTER = 3
OVERLAP_S, APART_S = 0.05, 0.15
MOST_A_PART = 3
"""More other words than this for each word of a sentence are not that sentence misheard."""


def read_sentences(
    audio: Audio, sentences: Sequence[Sequence[str]], own: Mapping[str, str] | None = None
) -> tuple[SentenceRead | None, ...]:
    """Find each sentence's last complete reading in a recording; if there is none, its best one.

    Args:
        audio: The recording, mono or stereo, of any length, with anything else in it.
        sentences: The written words of each sentence, in the order of the script.
        own: The author's own pronunciations.

    Returns:
        One reading a sentence, in order; None where it was not read. Times are in seconds of the recording.
    """
    speech = at_hearing_rate(audio)
    parts = [parts_of(words, own) for words in sentences]
    heard = listen(speech, [[part.name for part in sentence] for sentence in parts])
    found: dict[int, list[Pass]] = {}
    for one in heard_passes(heard, parts):
        found.setdefault(one.sentence, []).append(one)
    reads = [
        _that_counts(speech, words, parts[index], heard, found.get(index, ()), own)
        for index, words in enumerate(sentences)
    ]
    for index, read in enumerate(reads):
        if read is None and parts[index] and any(reads):
            between = _between(reads, index, heard)
            reads[index] = _overheard(speech, sentences[index], parts[index], heard, between, own)
    return tuple(reads)


def read_whole(audio: Audio, words: Sequence[str], own: Mapping[str, str] | None = None) -> Telling | None:
    """How a recording of one cue tells it from beginning to end, as it will be played.

    Args:
        audio: The recording, mono or stereo.
        words: The cue's written words.
        own: The author's own pronunciations.

    Returns:
        A time for each word and what is amiss; None where nothing of the cue is heard.
    """
    speech = at_hearing_rate(audio)
    parts = parts_of(words, own)
    sentences = _sentences(words, parts)
    heard = listen(speech, [[part.name for part in sentence] for sentence in sentences])
    found = [
        one for one in heard_passes(heard, sentences) if _is_reading(one, sentences[one.sentence], heard)
    ]
    if not found:
        return None
    firsts = list(accumulate(map(len, sentences), initial=0))
    items = list(_in_order(found, _kept(found), firsts, len(heard)))
    telling = told(speech, words, parts, heard, items, own)
    return telling if _mostly(telling) else None


def _sentences(words: Sequence[str], parts: Sequence[Part]) -> list[list[Part]]:
    """A cue's parts, a list a sentence."""
    numbers = list(accumulate((ends_sentence(word) for word in words), initial=0))
    return [list(group) for _, group in groupby(parts, key=lambda part: numbers[part.owner])]


def _kept(found: Sequence[Pass]) -> set[int]:
    """The passes that count where all is played in order: those that tell the most, of equal ones the later."""
    best: list[tuple[int, int]] = []
    for index, one in enumerate(found):
        before = [(best[k][0], k) for k in range(index) if found[k].sentence < one.sentence]
        told, source = max(before, default=(0, -1))
        best.append((told + len({item.word for item in one.items if item.word is not None}), source))
    at = max(range(len(best)), key=lambda index: (best[index][0], index))
    kept: set[int] = set()
    while at >= 0:
        kept.add(at)
        at = best[at][1]
    return kept


def _in_order(found: Sequence[Pass], kept: set[int], firsts: Sequence[int], count: int) -> Iterator[Item]:
    """All that is heard from the first pass to the last one, by the cue's words; other passes are said twice."""
    owned = {
        item.heard: replace(
            item,
            word=None if item.word is None else firsts[one.sentence] + item.word,
            twice=item.twice or index not in kept,
        )
        for index, one in enumerate(found)
        for item in one.items
    }
    for heard in range(count):
        if min(owned) <= heard <= max(owned):
            yield owned.get(heard, Item(heard, None))


def parts_of(words: Sequence[str], own: Mapping[str, str] | None) -> list[Part]:
    """What is to be said for written words; those that nothing says the sounds of have no part."""
    return [
        Part(name, owner)
        for owner, word in enumerate(words)
        for spoken in spoken_words(word)
        if (name := name_of(spoken, own)) is not None
    ]


def heard_passes(heard: Sequence[Heard], parts: Sequence[Sequence[Part]]) -> list[Pass]:
    """The ways through the sentences that the heard words took."""
    sounds = [sounds_like(word.name) for word in heard]
    sentences = [tuple(sounds_like(part.name) for part in sentence) for sentence in parts]
    found = passes(sounds, [(word.start_s, word.end_s) for word in heard], sentences)
    ends = [*(one.items[0].heard for one in found[1:]), len(heard)]
    return [_to_its_words(one, end, sounds, sentences) for one, end in zip(found, ends, strict=False)]


def _to_its_words(one: Pass, end: int, sounds: Sequence[str], sentences: Sequence[tuple[str, ...]]) -> Pass:
    """A pass that is another sentence word for word is the nearest such one's, however unlikely its place.

    The words heard after it, before `end`, may be the last ones of that sentence.
    """
    heard = [item.heard for item in one.items]
    after = range(heard[-1] + 1, min(end, heard[-1] + 1 + MOST_AFTER))
    for more in range(len(after) + 1):
        said = tuple(sounds[index] for index in (*heard, *after[:more]))
        same = [index for index, sentence in enumerate(sentences) if sentence == said]
        if same:
            nearest = min(same, key=lambda index: abs(index - one.sentence))
            return Pass(nearest, tuple(Item(at, word) for word, at in enumerate((*heard, *after[:more]))))
    return one


def _that_counts(
    speech: Samples,
    words: Sequence[str],
    parts: Sequence[Part],
    heard: Sequence[Heard],
    candidates: Sequence[Pass],
    own: Mapping[str, str] | None,
) -> SentenceRead | None:
    best: Telling | None = None
    for one in reversed([one for one in candidates if _is_reading(one, parts, heard)]):
        telling = told(speech, words, parts, heard, one.items, own)
        if telling.complete:
            return _read(telling)
        if best is None or telling.missing < best.missing:
            best = telling
    return None if best is None or not _mostly(best) else _read(best)


def _mostly(telling: Telling) -> bool:
    """Whether more than half of the words are said."""
    return 2 * telling.missing < len(telling.words)


def _between(reads: Sequence[SentenceRead | None], index: int, heard: Sequence[Heard]) -> list[list[int]]:
    """The words heard between the readings before and after a sentence that has none, parted at pauses."""
    before = next((read for read in reversed(reads[:index]) if read is not None), None)
    after = next((read for read in reads[index + 1 :] if read is not None), None)
    start_s = before.end_s if before else 0.0
    end_s = after.start_s if after else heard[-1].end_s if heard else 0.0
    groups: list[list[int]] = []
    for at, word in enumerate(heard):
        if start_s - OVERLAP_S <= word.start_s and word.end_s <= end_s + OVERLAP_S:
            if groups and word.start_s - heard[groups[-1][-1]].end_s < APART_S:
                groups[-1].append(at)
            else:
                groups.append([at])
    return groups


def _overheard(
    speech: Samples,
    words: Sequence[str],
    parts: Sequence[Part],
    heard: Sequence[Heard],
    between: Sequence[Sequence[int]],
    own: Mapping[str, str] | None,
) -> SentenceRead | None:
    """A sentence's reading where what was taken for other words may as well be all of it; the last one there is.

    Short sentences are hard to hear by themselves: "Yes." has no neighbours that make it likely.
    """
    for group in reversed(between):
        if len(group) > MOST_A_PART * len(parts) or len(parts) > MOST_A_PART * len(group):
            continue
        items = [Item(at, min(place, len(parts) - 1)) for place, at in enumerate(group)]
        telling = told(speech, words, parts, heard, items, own)
        if not telling.differences:
            return _read(telling)
    return None


def _is_reading(one: Pass, parts: Sequence[Part], heard: Sequence[Heard]) -> bool:
    """Whether enough of a sentence was heard."""
    right = {
        item.word
        for item in one.items
        if item.word is not None and sounds_like(heard[item.heard].name) == sounds_like(parts[item.word].name)
    }
    return len(right) >= (len(parts) if len(parts) <= 2 else LEAST_SHARE * len(parts))


def _read(telling: Telling) -> SentenceRead:
    said = [word for word in telling.words if word.end_s > word.start_s]
    return SentenceRead(said[0].start_s, said[-1].end_s, telling.words, telling.differences)
