"""What ideas say about bars of a song and the chords in their place, each kind of sentence with its facts."""
from song_facts import Chord, NOTE, NUMBERS, note, rule, step


# What ideas say; their chords stand in song.idea.

@rule(r"^(\S+) for (\S+): (two|three|four) of its notes stay")
def idea_common(song, bar, one, usual, count):
    return len(Chord(one).tones & Chord(usual).tones) == NUMBERS[count] and idea_has(song, one) and stood(song, usual)


@rule(rf"^(\S+) (?:for|after) (\S+): ({NOTE}) becomes ({NOTE}), a (darker|brighter) colour")
def idea_colour(song, bar, one, usual, tone, other, how):
    return (Chord(usual).tones - {note(tone)}) | {note(other)} == Chord(one).tones and (
        note(other) - note(tone)) % 12 == {"darker": 11, "brighter": 1}[how] and idea_has(song, one) and stood(song, usual)


@rule(r"^With sevenths: the triads keep their three notes and get a fourth")
def idea_sevenths(song, bar):
    old = [c for c in song.chords if song.idea["bar"] <= c["bar"] < song.idea["bar"] + song.idea["bars"]]
    old = [c["is"] for i, c in enumerate(old) if i == 0 or c["symbol"] != old[i - 1]["symbol"] or c["bar"] != old[i - 1]["bar"]]
    new = [Chord(c) for c in song.idea["chords"]]
    return len(old) == len(new) and all(o.tones <= n.tones and len(n.tones) - len(o.tones) in (0, 1) for o, n in zip(old, new))


@rule(rf"^(\S+) before (\S+): ({NOTE}) waits, then falls to ({NOTE})\.")
def idea_suspension(song, bar, one, usual, fourth, third):
    return note(fourth) in Chord(one).tones and note(third) in Chord(usual).tones and step(note(fourth), note(third)) and in_row(
        song, one, usual)


@rule(r"^(\S+)(?: \((\S+)\))? before (\S+): a dominant of its own leads into it\.")
def idea_applied(song, bar, one, numeral, goal):
    return (Chord(goal).root - Chord(one).root) % 12 == 5 and 4 in Chord(one).above and (
        numeral is None or "/" in numeral) and in_row(song, one, goal)


@rule(r"^(\S+) and (\S+) for (\S+): ii and V of (\S+), which comes next\.")
def idea_two_five(song, bar, two, five, usual, goal):
    return (Chord(five).root - Chord(two).root) % 12 == 5 == (Chord(goal).root - Chord(five).root) % 12 and Chord(
        two).minor and in_row(song, five, goal) and stood(song, usual)


@rule(r"^(\S+) and (\S+) for (\S+) and (\S+): ii and V, as in a jazz blues\.")
def idea_blues_two_five(song, bar, two, five, *usual):
    return (Chord(five).root - Chord(two).root) % 12 == 5 and in_row(song, two, five) and all(stood(song, u) for u in usual)


@rule(rf"^(\S+) for (\S+): the same tritone, ({NOTE}) and ({NOTE}), and the root falls a semitone to ({NOTE})\.")
def idea_tritone(song, bar, one, usual, third, seventh_, goal):
    return {note(third), note(seventh_)} <= Chord(one).tones & Chord(usual).tones and (
        Chord(one).root - note(goal)) % 12 == 1 and stood(song, usual)


@rule(rf"^(\S+) between (\S+) and (\S+): the bass climbs by semitones, ({NOTE}) ({NOTE}) ({NOTE})\.")
def idea_passing(song, bar, one, before, after, a, b, c):
    return [Chord(x).bass for x in (before, one, after)] == [note(x) for x in (a, b, c)] and (note(b) - note(a)) % 12 == 1 == (
        note(c) - note(b)) % 12 and in_row(song, before, one) and in_row(song, one, after)


@rule(rf"^(\S+) (?:for (\S+)|between (\S+) and (\S+)): the bass walks by step, ({NOTE}) ({NOTE}) ({NOTE})\.")
def idea_bass(song, bar, one, usual, before, after, a, b, c):
    return Chord(one).bass == note(b) and step(note(a), note(b)) and step(note(b), note(c)) and idea_has(song, one) and (
        stood(song, usual) if usual else in_row(song, before, one) and in_row(song, one, after))


@rule(rf"^The bass stays on ({NOTE}) under all of them")
def idea_pedal(song, bar, bass):
    return all(Chord(c).bass == note(bass) for c in song.idea["chords"])


@rule(rf"^The same bars, begun (?:on|at home on) ([^\s,:]+)[,:]")
def idea_order(song, bar, first):
    own = [c["symbol"] for c in song.chords if song.idea["bar"] <= c["bar"] < song.idea["bar"] + song.idea["bars"]]
    return song.idea["chords"][0] == first and {Chord(c).root for c in own} == {Chord(c).root for c in song.idea["chords"]}


@rule(r"^For a bridge: it begins on (\S+) and (leads back|stays open)")
def idea_bridge(song, bar, first, how):
    tonic = note(song.chords[0]["key"].split()[0])
    end = (Chord(song.idea["chords"][-1]).root - tonic) % 12
    return song.idea["chords"][0] == first and (end == 7) == (how == "leads back") and end != 0


@rule(r"^(?:Stop in the middle of bar (\d+)|Leave bar (\d+) empty)")
def idea_silence(song, bar, half, whole):
    return "N.C." in song.idea["progression"] and int(half or whole) == song.idea["bar"] + song.idea["bars"] - 1


@rule(r"^Stop time: a stroke at the beginning of each bar")
def idea_stop_time(song, bar):
    return song.idea["progression"].count("N.C.") == song.idea["bars"]


@rule(r"^To end the song: (\S+) goes to (\S+) first, and to (\S+) only the second time")
def idea_end(song, bar, before, first, home):
    return in_row(song, before, first) and song.idea["chords"][-1] == home and in_row(song, before, home)


@rule(r"^After the end (\S+) and (\S+) once more")
def idea_plagal(song, bar, fourth, home):
    return song.idea["chords"][-2:] == [fourth, home] and (Chord(fourth).root - Chord(home).root) % 12 == 5


@rule(r"^(?:A turnaround: )?(\S+) (?:in the last bar \(a turnaround\) )?leads back to ([^\s,.]+)")
def idea_turnaround(song, bar, dominant, home):
    return (Chord(home).root - Chord(dominant).root) % 12 == 5 and song.idea["chords"][-1] == dominant


@rule(r"^A turnaround: from (\S+) each root falls by a fifth, back to ([^\s,.]+)")
def idea_circle(song, bar, first, home):
    chords = song.idea["chords"][song.idea["chords"].index(first):] + [home]
    return all((Chord(b).root - Chord(a).root) % 12 == 5 for a, b in zip(chords, chords[1:]))


@rule(r"^For the last time a (tone|semitone) higher, in (\S+ \w+): (\S+) is its dominant\.")
def idea_step_up(song, bar, distance, key, dominant):
    own = song.key_at(song.idea["bar"])
    return (note(key.split()[0]) - note(own.split()[0])) % 12 == {"tone": 2, "semitone": 1}[distance] and (
        Chord(dominant).root - note(key.split()[0])) % 12 == 7 and song.idea["chords"][0] == dominant


@rule(r"^(\S+) in bar (\d+) already \(the quick change\)")
def idea_quick_change(song, bar, fourth, number):
    return (Chord(fourth).root - note(song.key_at(int(number)).split()[0])) % 12 == 5 and song.idea["chords"][1] == fourth


@rule(rf"^(\S+) after (\S+): the bass climbs a semitone, and one more would be ({NOTE}), the fifth of (\S+)\.")
def idea_blues_passing(song, bar, one, before, fifth, home):
    return (Chord(one).root - Chord(before).root) % 12 == 1 == (note(fifth) - Chord(one).root) % 12 and (
        note(fifth) - Chord(home).root) % 12 == 7 and in_row(song, before, one)


def idea_has(song, symbol):
    return symbol in song.idea["chords"]


def stood(song, symbol):
    """Whether the song has that chord in the bars of the idea; the letters may be another key's."""
    first, count = song.idea["bar"], song.idea["bars"]
    return any(first <= c["bar"] < first + count and c["is"].tones == Chord(symbol).tones for c in song.chords)


def in_row(song, one, other):
    """One chord after the other in the idea; the last one may be what the song has after it."""
    chords = [Chord(c) for c in song.idea["chords"]]
    after = [c["is"] for c in song.chords if c["bar"] >= song.idea["bar"] + song.idea["bars"]]
    chords += after[:1]
    same = lambda a, b: a.root == b.root and a.tones == b.tones
    return any(same(a, Chord(one)) and same(b, Chord(other)) for a, b in zip(chords, chords[1:]))
