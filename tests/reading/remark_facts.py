"""What remarks say about a song, each kind of sentence with the facts that make it true."""
import collections
import re

from song_facts import Chord, MODES, NOTE, note, rule, scale, signature, step


@rule(rf"^It can also be heard in (\S+ \w+): it begins on ({NOTE})\.")
def begins(song, bar, key, tonic):
    return song.chords[0]["is"].root == note(tonic) == note(key.split()[0])


@rule(rf"^It can also be heard in (\S+ \w+): it ends on ({NOTE})\.")
def ends(song, bar, key, tonic):
    return song.chords[-1]["is"].root == note(tonic) == note(key.split()[0])


@rule(rf"^It can also be heard in (\S+ \w+): the music rests longer on ({NOTE}) than on ({NOTE})\.")
def rests(song, bar, key, longer, shorter):
    longest, stretch, last = collections.Counter(), 0, None
    for chord in song.answer["chords"]:
        root = chord["is"].root if "is" in chord else None
        stretch = (stretch if root == last else 0) + chord["beats"]
        last = root
        if root is not None:
            longest[root] = max(longest[root], stretch)
    return longest[note(longer)] > longest[note(shorter)]


@rule(rf"^It can also be heard in (\S+ \w+): ({NOTE}) leads to ({NOTE})\.")
def moves(song, bar, key, one, other):
    return (note(other) - note(one)) % 12 == 5 and any(
        c["is"].root == note(one) and (song.following(c) or {"is": Chord("C")})["is"].root == note(other) for c in song.chords
        if song.following(c))


@rule(r"^It can also be heard in (\S+ \w+): the three main chords of (\S+) are all there\.")
def main_chords(song, bar, key, tonic):
    tones = scale(key)
    for degree in (0, 5, 7):
        root = (note(tonic) + degree) % 12
        minor = (root + 3) % 12 in tones
        if not any(c["is"].root == root and c["is"].minor == minor for c in song.chords):
            return False
    return True


@rule(rf"^It can also be heard in (\S+ \w+): ({NOTE}) with its seventh sounds")
def seventh(song, bar, key, tonic):
    return any(c["is"].root == note(tonic) and c["is"].dominant for c in song.chords)


@rule(r"^It can also be heard in (\S+ \w+): its scale holds all the notes")
def holds(song, bar, key):
    return all(c["is"].tones <= scale(key) for c in song.chords)


@rule(r"^It can also be heard in (\S+ \w+)\.")
def other_key(song, bar, key):
    return key.split()[1] in MODES and key != song.answer["key"]["tonic"] + " " + song.answer["key"]["mode"]


@rule(r"^The music moves to (\S+ \w+)(, a semitone up|, a tone up)?(?:: (.*))?\.$")
def moves_to(song, bar, key, distance, how):
    before = song.key_at(bar - 1)
    rise = (note(key.split()[0]) - note(before.split()[0])) % 12
    here = [c for c in song.chords if c["bar"] == bar]
    right = not here or here[0]["key"] == key
    right = right and distance == {1: ", a semitone up", 2: ", a tone up"}.get(rise)
    if not how:
        return right
    m = re.match(r"^(\S+) is its dominant$", how)
    if m:
        chord = Chord(m.group(1))
        above = (chord.root - note(key.split()[0])) % 12
        return right and (above == 7 and 4 in chord.above or above == 11 and chord.diminished)
    m = re.match(r"^(\S+) belongs to both keys, (\S+) in (\S+ \w+) and (\S+) in (\S+ \w+)$", how)
    if m:
        chord = Chord(m.group(1))
        allowed = [scale(k) | ({(note(k.split()[0]) + 11) % 12, (note(k.split()[0]) + 9) % 12} if k.endswith(" minor") else set())
                   for k in (m.group(3), m.group(5))]
        return right and m.group(3) == before and m.group(5) == key and all(chord.tones <= tones for tones in allowed)
    m = re.match(rf"^({NOTE}) is in both (\S+) and (\S+)$", how)
    return right and bool(m) and all(note(m.group(1)) in Chord(m.group(i)).tones for i in (2, 3))


@rule(rf"^The bass (falls|climbs) by step, ({NOTE}) to ({NOTE}): a line")
def bass_line(song, bar, way, one, other):
    def link(a, b):
        rise = (b.bass - a.bass) % 12
        return "climbs" if rise in (1, 2) else "falls" if rise in (10, 11) else None
    return any(length >= 4 and link(first["is"], song.changes()[song.changes().index(first) + 1]["is"]) == way
               and first["is"].bass == note(one) and last["is"].bass == note(other) and first["bar"] == bar
               for length, first, last in song.runs(link) if length >= 2)


@rule(rf"^The bass stays on ({NOTE}) while the chords change")
def pedal(song, bar, bass):
    link = lambda a, b: 1 if a.bass == b.bass and a.root != b.root else None
    return any(length >= 3 and first["is"].bass == note(bass) and first["bar"] == bar for length, first, _ in song.runs(link))


@rule(rf"^(\d+) roots in a row fall by fifths, ({NOTE}) to ({NOTE}):")
def fifths(song, bar, count, one, other):
    def link(a, b):
        fall = (b.root - a.root) % 12
        return 1 if fall == 5 or fall == 6 and b.diminished else None
    return any(length == int(count) and first["is"].root == note(one) and last["is"].root == note(other) and first["bar"] == bar
               for length, first, last in song.runs(link))


@rule(r"^(?:Three|(\d+)) keys a major third apart, (.*), each with its dominant")
def thirds(song, bar, count, names):
    roots = [note(n) for n in re.findall(rf"{NOTE}(?![a-z])", names)]
    steps = {(b - a) % 12 for a, b in zip(roots, roots[1:])}
    arrives = lambda root: any(c["is"].dominant and (root - c["is"].root) % 12 == 5 and
                               (song.following(c) or {"is": None})["is"] is not None and song.following(c)["is"].root == root
                               for c in song.chords)
    return steps in ({4}, {8}) and all(arrives(root) for root in roots)


@rule(r"^The ending (?:closes with|goes from) (\S+) to (\S+) \((an? \w+) cadence\)")
def ending(song, bar, one, other, name):
    last = song.chords[-1]
    tonic = note(last["key"].split()[0])
    place = len(song.chords) - 1
    while place > 0 and song.chords[place - 1]["is"].root == last["is"].root:
        place -= 1
    before = song.chords[place - 1]
    above = (before["is"].root - tonic) % 12
    kind = {"a perfect": above in (7, 11), "an authentic": above in (7, 11), "a plagal": above in (5, 10)}[name]
    numerals = {c["numeral"] for c in song.chords[place:]}
    return last["is"].root == tonic and kind and before["numeral"] == one and other in numerals


@rule(r"^The ending stops on (\S+) \((?:an imperfect|a half) cadence\)")
def stops(song, bar, numeral):
    last = song.chords[-1]
    return (last["is"].root - note(last["key"].split()[0])) % 12 == 7 and any(
        c["numeral"] == numeral for c in song.chords if c["is"].root == last["is"].root)


@rule(r"^(\S+) goes to (\S+) instead of home \((?:an interrupted|a deceptive) cadence\)")
def deceptive(song, bar, one, other):
    for chord in song.chords:
        after = song.following(chord)
        if not after or after["bar"] != bar or chord["numeral"] != one or after["numeral"] != other:
            continue
        tonic = note(after["key"].split()[0])
        if (chord["is"].root - tonic) % 12 in (7, 11) and (after["is"].root - tonic) % 12 in (8, 9):
            return True
    return False


@rule(r"^(\S+)(?: is \S+: it)? leads to (\S+) like a dominant of its own\.")
def applied(song, bar, one, other):
    up = (Chord(other).root - Chord(one).root) % 12
    pulls = up == 5 and 4 in Chord(one).above or up == 1 and Chord(one).diminished
    return pulls and song.leads(bar, one, other)


@rule(r"^(\S+) comes after (\S+), its own dominant")
def tonicised(song, bar, one, other):
    down = (Chord(one).root - Chord(other).root) % 12
    return down in (5, 11) and any((song.before(c) or {}).get("symbol") == other for c in song.at(bar, one))


@rule(rf"^(\S+) stands for (\S+) \(a tritone substitute\): its root falls a semitone to (\S+?)(?:, and it has the same tritone, ({NOTE}) and ({NOTE}))?\.$")
def substitute(song, bar, one, usual, goal, third, seventh_):
    right = (Chord(goal).root - Chord(usual).root) % 12 == 5 and (Chord(usual).root - Chord(one).root) % 12 == 6
    heard = [c for c in song.chords if c["bar"] == bar and c["is"].root == Chord(one).root]
    right = right and any((song.following(c) or {}).get("symbol") == goal for c in heard)
    if third:
        right = right and {note(third), note(seventh_)} <= Chord(one).tones & Chord(usual).tones
    return right


@rule(rf"^(\S+) and (\S+) are ii and V of ({NOTE})(, which does not follow at once)?\.")
def two_five(song, bar, two, five, goal, late):
    right = (Chord(five).root - Chord(two).root) % 12 == 5 and (note(goal) - Chord(five).root) % 12 == 5 and Chord(two).minor
    follow = [song.following(c) for c in song.chords if c["bar"] == bar and c["symbol"] in (two, five)]
    if late:
        heard = song.at(bar, five)
        return right and any((song.before(c) or {}).get("symbol") == two for c in heard) and not all(
            song.following(c) and song.following(c)["is"].root == note(goal) for c in heard)
    return right and any(f and f["symbol"] == five for f in follow)


@rule(rf"^(\S+) is a dominant of ({NOTE}), which does not follow at once\.")
def late_goal(song, bar, one, goal):
    return Chord(one).dominant and (note(goal) - Chord(one).root) % 12 == 5 and not all(
        song.following(c) and song.following(c)["is"].root == note(goal) for c in song.at(bar, one))


@rule(r"^(\S+) steps down a semitone to (\S+), and goes with it like a ii")
def semitone_two(song, bar, one, other):
    return (Chord(one).root - Chord(other).root) % 12 == 1 and song.leads(bar, one, other)


@rule(r"^(\S+) \(\S+\) is borrowed from (\S+ \w+): a (brighter|darker) colour")
def borrowed(song, bar, one, key, how):
    here = song.key_at(bar)
    return Chord(one).tones <= scale(key) and not Chord(one).tones <= scale(here) and (
        signature(key) > signature(here)) == (how == "brighter")


@rule(r"^(\S+) has the seventh of the blues")
def blues(song, bar, one):
    above = (Chord(one).root - note(song.key_at(bar).split()[0])) % 12
    return Chord(one).dominant and above in (0, 5)


@rule(r"^(\S+) stands a third from home: (.*) (?:is|are) outside the key")
def third_away(song, bar, one, names):
    key = song.key_at(bar)
    away = (Chord(one).root - note(key.split()[0])) % 12 in (3, 4, 8, 9)
    outside = {note(n) for n in re.findall(rf"{NOTE}(?![a-z])", names)}
    return away and outside == Chord(one).tones - scale(key)


@rule(r"^(\S+) is \S+: (.*) (?:is|are) outside the scale of (\S+ \w+), for more colour")
def altered(song, bar, one, names, key):
    outside = {note(n) for n in re.findall(rf"{NOTE}(?![a-z])", names)}
    return bool(outside) and outside == Chord(one).tones - scale(key) and key == song.key_at(bar)


@rule(rf"^(\S+) keeps ({NOTE}), the root of the (\S+) (after|before) it")
def keeps(song, bar, one, tone, other, side):
    right = note(tone) in Chord(one).tones and note(tone) == Chord(other).root
    if side == "after":
        return right and song.leads(bar, one, other)
    return right and any((song.before(c) or {}).get("symbol") == other for c in song.at(bar, one))


@rule(rf"^(\S+) leads on by a semitone: ({NOTE}) goes (up|down) to ({NOTE}), the root of (\S+)\.")
def leading_tone(song, bar, one, tone, way, goal, other):
    return note(tone) in Chord(one).tones and (note(goal) - note(tone)) % 12 == {"up": 1, "down": 11}[way] and note(
        goal) == Chord(other).root and song.leads(bar, one, other)


@rule(r"^From (\S+) to (\S+) (\d) notes stay")
def line(song, bar, one, other, count):
    changes = song.changes()
    return len(Chord(one).tones & Chord(other).tones) == int(count) and any(
        a["symbol"] == one and b["symbol"] == other for a, b in zip(changes, changes[1:]))


@rule(r"^(\S+) and (\S+) are the same kind of chord a step apart")
def parallel(song, bar, one, other):
    return Chord(one).above == Chord(other).above and step(Chord(one).root, Chord(other).root)


@rule(r"^In (\S+ \w+) write (\S+) for ([^\s:]+)")
def spelling(song, bar, key, better, typed):
    return Chord(better).tones == Chord(typed).tones and bool(song.at(bar, typed)) and key == song.key_at(bar)


@rule(r"^Bars? ([\d, and]+), in (?:a line|lines) like this one, ha(?:s|ve) (\S+); did you mean (\S+) instead of (\S+)\?")
def slip(song, bar, bars, stands, meant, typed):
    return stands == meant and bool(song.at(bar, typed)) and all(
        any(c["bar"] == int(b) and c["symbol"] == meant for c in song.chords) for b in re.findall(r"\d+", bars))


@rule(r"^(\S+) is easily typed for (\S+), which the piece has elsewhere")
def typed_for(song, bar, typed, meant):
    return bool(song.at(bar, typed)) and any(c["symbol"] == meant and c["bar"] != bar for c in song.chords)


@rule(r"^(\S+) belongs to no reading of (\S+ \w+)")
def unexplained(song, bar, one, key):
    return bool(song.at(bar, one)) and not Chord(one).tones <= scale(key) and key == song.key_at(bar)
