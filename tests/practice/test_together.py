"""Several songs as one material: nothing is lost, nothing stands twice."""

from __future__ import annotations

from chartc.practice.drill import Wish, all_joins
from chartc.practice.together import together
from tests.practice.materials import song

SONGS = [
    song("cold-kiln", "A minor"),
    song("lantern-on-the-lock", "G"),
    song("hens-in-the-hold", "G"),
    song("slate-ridge"),
]


def test_every_lick_and_join_is_there_once() -> None:
    """Protects completeness: licks, changes of chord and joins of all songs, each once, at the fastest tempo."""
    found = together(SONGS)
    assert len({(m.song.meter, m.bench.fifth.pitch) for m in found}) == len(found) > 1
    for m in found:
        group = [
            s
            for s in SONGS
            if (s.song.meter, s.bench.fifth.pitch, s.bench.fifth.fret)
            == (m.song.meter, m.bench.fifth.pitch, m.bench.fifth.fret)
        ]
        assert len(m.items) == len(set(m.items))
        assert set(m.items) == {i for s in group for i in s.items}
        assert (m.changes or set()) == {c for s in group for c in s.changes or ()}
        assert m.ms_per_tick == min(s.ms_per_tick for s in group)
        pairs = [(m.items[j.before], m.items[j.after]) for j in m.joins]
        assert len(pairs) == len(set(pairs))
        assert set(pairs) == {(s.items[j.before], s.items[j.after]) for s in group for j in s.joins}
        assert sum(j.times for j in m.joins) == sum(j.times for s in group for j in s.joins)
        assert [j.hardness for j in m.joins] == sorted((j.hardness for j in m.joins), reverse=True)


def test_a_song_alone_stays_as_it_is() -> None:
    """Protects the edge: one song together with none has the same drill, but for where its joins are told."""
    (m,) = together([song("hens-in-the-hold")])
    alone, joined = all_joins(song("hens-in-the-hold"), Wish()), all_joins(m, Wish())
    assert alone is not None and joined is not None
    assert alone.part == joined.part
    assert together([]) == ()
