"""Skipped pictures: numbers, escapes and templates of the byte stream (ITU-T H.264, clauses named beside)."""

import random

import pytest

from lessonmaker.video import h264


def golomb(value: int) -> str:
    """ue(v) by its definition (9.1): as many zeros as bits follow the leading one."""
    bits = f"{value + 1:b}"
    return "0" * (len(bits) - 1) + bits


def to_bytes(bits: str) -> bytes:
    return int((bits + "1").ljust(-(-(len(bits) + 1) // 8) * 8, "0"), 2).to_bytes(
        -(-(len(bits) + 1) // 8), "big"
    )


@pytest.mark.parametrize("values", [[0], [1, 2, 3], [254, 0, 8159, 7]])
def test_exp_golomb_numbers_are_read_as_the_standard_codes_them(values):
    bits = h264.Bits(to_bytes("".join(map(golomb, values))))
    assert [bits.golomb() for _ in values] == values


def test_escaping_follows_the_standard_and_is_undone():
    # 7.4.1: 000000, 000001, 000002 and 000003 may not stand in a unit; 03 goes in after two zeros.
    assert h264.escape(b"\0\0\0\0\1") == b"\0\0\3\0\0\3\1"
    assert h264.escape(b"\0\0\3") == b"\0\0\3\3"
    assert h264.escape(b"\0\0\4") == b"\0\0\4"
    chance = random.Random(7)
    for _ in range(300):
        data = bytes(chance.choices([0, 0, 0, 1, 2, 3, 4, 255], k=40)) + b"\x80"
        escaped = h264.escape(data)
        assert h264.unescape(escaped) == data
        assert not any(pattern in escaped for pattern in (b"\0\0\0", b"\0\0\1", b"\0\0\2"))


def test_a_slice_gets_another_frame_number_and_keeps_the_rest():
    width = 6
    header = golomb(0) + golomb(5) + golomb(0)
    rest = "1011" * 40
    unit = b"\x41" + h264.escape(to_bytes(header + f"{9:0{width}b}" + rest))
    changed = h264.renumbered(unit, width, 64 + 33)
    assert changed == b"\x41" + h264.escape(to_bytes(header + f"{33:0{width}b}" + rest))


def test_streams_with_reordering_are_refused():
    baseline = b"\x67" + to_bytes(f"{66:08b}" + "0" * 16 + golomb(0) + golomb(0) + golomb(0))
    with pytest.raises(ValueError, match="pic_order_cnt_type must be 2"):
        h264.frame_num_width(baseline)


def test_a_flat_clip_without_a_p_slice_gives_no_template():
    with pytest.raises(ValueError, match="no P slice"):
        h264.skipped_picture(b"\0\0\0\1\x65abc")
