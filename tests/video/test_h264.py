"""Slices written anew: numbers, escapes and headers of the byte stream (ITU-T H.264, clauses named beside)."""

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


def test_a_coded_slice_keeps_its_data_under_another_header():
    # 7.3.3 for an IDR picture: first_mb, slice_type, parameter set, frame_num, idr_pic_id, two marking flags.
    data = "1011" * 40 + "001"
    coded = to_bytes(golomb(0) + golomb(7) + golomb(0) + "000000" + golomb(1) + "00" + data)
    stream = b"\0\0\0\1\x65" + h264.escape(coded)
    (code,) = h264.slice_codes(stream, 1, width=6)
    assert f"{code.value:0{code.length}b}" == data + "1"
    # in a P picture: one marking flag, no idr_pic_id
    wanted = to_bytes(golomb(240) + golomb(2) + golomb(0) + f"{33:08b}" + "0" + data)
    assert h264.intra_slice(h264.Place(240, 256 + 33, 8), code) == b"\0\0\0\1\x41" + h264.escape(wanted)
    again = to_bytes(golomb(240) + golomb(7) + golomb(0) + "00000000" + golomb(1) + "00" + data)
    assert h264.key_slice(h264.Place(240, 0, 8), code, 1) == b"\0\0\0\1\x65" + h264.escape(again)


def test_a_skipped_slice_is_a_header_and_one_run():
    # 7.3.3 for a P slice: no override of the reference count, no reordering, no marking; then
    # slice_qp_delta, disable_deblocking_filter_idc, mb_skip_run.
    header = golomb(10) + golomb(0) + golomb(0) + "0101" + "00" + "0" + golomb(0) + golomb(1)
    wanted = b"\0\0\0\1\x41" + h264.escape(to_bytes(header + golomb(8150)))
    assert h264.skipped_slice(h264.Place(10, 5, 4), 8150) == wanted


def test_streams_with_reordering_are_refused():
    baseline = b"\x67" + to_bytes(f"{66:08b}" + "0" * 16 + golomb(0) + golomb(0) + golomb(0))
    with pytest.raises(ValueError, match="pic_order_cnt_type must be 2"):
        h264.frame_num_width(baseline)


def test_a_stream_without_parameter_sets_is_refused():
    with pytest.raises(ValueError, match="no parameter sets"):
        h264.picture_sets(b"\0\0\0\1\x65abc")
