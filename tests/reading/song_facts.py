"""A song as true_reasons reads it, on its own: chords from their symbols, keys, what follows what; and the table of rules."""
import re

LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
MODES = {"major": [0, 2, 4, 5, 7, 9, 11], "minor": [0, 2, 3, 5, 7, 8, 10], "dorian": [0, 2, 3, 5, 7, 9, 10],
         "phrygian": [0, 1, 3, 5, 7, 8, 10], "lydian": [0, 2, 4, 6, 7, 9, 11], "mixolydian": [0, 2, 4, 5, 7, 9, 10],
         "locrian": [0, 1, 3, 5, 6, 8, 10]}
NOTE = r"[A-G](?:##|bb|#|b)?"
NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5}


def note(name):
    return (LETTERS[name[0]] + name.count("#") - name.count("b")) % 12


class Chord:
    """Root, bass and tones of a symbol, as chord symbols are usually read."""

    def __init__(self, symbol):
        self.symbol = symbol
        head = re.match(NOTE, symbol)
        self.root = self.bass = note(head.group())
        rest = symbol[head.end():]
        over = re.search(rf"/({NOTE})$", rest)
        if over:
            self.bass = note(over.group(1))
            rest = rest[: over.start()]
        self.above = self.tones_above(rest)
        self.tones = {(self.root + tone) % 12 for tone in self.above}

    @staticmethod
    def tones_above(rest):
        minor = re.match(r"m(?!aj)", rest) is not None
        third, fifth, more = 3 if minor else 4, 7, set()
        words = rest[1:] if minor else rest
        if words.startswith("dim"):
            third, fifth = 3, 6
            if words.startswith("dim7"):
                more.add(9)
            words = words[4 if words.startswith("dim7") else 3:]
        elif words.startswith("aug"):
            fifth, words = 8, words[3:]
        elif words.startswith("5"):
            third, words = None, words[1:]
        words = words.replace("(maj7)", "maj7")
        major = re.match(r"maj(\d*)", words)
        if major:
            more.add(11)
            size = int(major.group(1) or 7)
            words = words[major.end():]
        else:
            number = re.match(r"(6/9|69|13|11|9|7|6)", words)
            size = 0
            if number:
                words = words[number.end():]
                if number.group() in ("6/9", "69"):
                    more |= {9, 2}
                elif number.group() == "6":
                    more.add(9)
                else:
                    more.add(10)
                    size = int(number.group())
        for tone, least in ((2, 9), (5, 11), (9, 13)):
            if size >= least:
                more.add(tone)
        if size == 13 and third == 4:
            more.discard(5)
        if "sus2" in words:
            third = 2
        elif "sus" in words:
            third = 5
        for added in re.findall(r"add([#b]?)(\d+)", words):
            more.add(({"2": 2, "4": 5, "6": 9, "9": 2, "11": 5, "13": 9, "3": 4, "5": 7, "7": 11}[added[1]] + {"#": 1, "b": -1, "": 0}[added[0]]) % 12)
        for sign, number in re.findall(r"(?<!add)([#b+-])(5|9|11|13)", words):
            by = 1 if sign in "#+" else -1
            if number == "5":
                fifth += by
            else:
                plain = {"9": 2, "11": 5, "13": 9}[number]
                more.discard(plain)
                more.add(plain + by)
        tones = {0, fifth % 12} | more
        if third is not None:
            tones.add(third)
        for gone in re.findall(r"no(\d+)", words):
            tones -= {"1": {0}, "3": {3, 4}, "5": {6, 7, 8}}.get(gone, set())
        return tones

    minor = property(lambda self: 3 in self.above and 4 not in self.above)
    diminished = property(lambda self: self.minor and 6 in self.above and 7 not in self.above)
    dominant = property(lambda self: 4 in self.above and 10 in self.above)


def scale(key):
    tonic, mode = key.split()
    return {(note(tonic) + tone) % 12 for tone in MODES[mode]}


def signature(key):
    """Sharps (positive) or flats of a key: its tonic's place in fifths and its mode's."""
    tonic, mode = key.split()
    fifths = "FCGDAEB".index(tonic[0]) - 1 + 7 * (tonic.count("#") - tonic.count("b"))
    return fifths + {"lydian": 1, "major": 0, "mixolydian": -1, "dorian": -2, "minor": -3, "phrygian": -4, "locrian": -5}[mode]


def step(a, b):
    return (b - a) % 12 in (1, 2, 10, 11)


class Song:
    def __init__(self, answer):
        self.answer = answer
        self.chords = [c for c in answer["chords"] if c["symbol"] != "N.C."]
        for chord in self.chords:
            chord["is"] = Chord(chord["symbol"])
        # With what follows it at once: None across silence.
        self.next = {}
        everything = answer["chords"]
        for one, other in zip(everything, everything[1:]):
            self.next[id(one)] = other if "is" in other else None

    def following(self, chord):
        """The next chord on another root, without silence between."""
        other = self.next.get(id(chord))
        while other is not None and other["is"].root == chord["is"].root:
            other = self.next.get(id(other))
        return other

    def before(self, chord):
        place = self.chords.index(chord)
        while place > 0 and self.chords[place - 1]["is"].root == chord["is"].root:
            place -= 1
        return self.chords[place - 1] if place > 0 else None

    def at(self, bar, symbol):
        return [c for c in self.chords if c["bar"] == bar and c["symbol"] == symbol]

    def changes(self):
        result = []
        for chord in self.chords:
            if not result or result[-1]["symbol"] != chord["symbol"]:
                result.append(chord)
        return result

    def key_at(self, bar):
        keys = [c["key"] for c in self.chords if c["bar"] <= bar]
        keys = keys or [c["key"] for c in self.chords]
        return keys[-1]

    def leads(self, bar, one, other):
        return any((self.following(c) or {}).get("symbol") == other for c in self.at(bar, one))

    def runs(self, link):
        """Lengths of chords in a row where link(one, next) keeps one value that is not None, with the first and last."""
        found, changes = [], self.changes()
        begin = 0
        for i in range(1, len(changes) + 1):
            value = link(changes[i - 1]["is"], changes[i]["is"]) if i < len(changes) else None
            same = i - 1 == begin or (i - 2 >= begin and link(changes[i - 2]["is"], changes[i - 1]["is"]) == value)
            if value is None or not same:
                found.append((i - begin, changes[begin], changes[i - 1]))
                begin = i if value is None else i - 1
        return found


RULES = []


def rule(pattern):
    def add(function):
        RULES.append((re.compile(pattern), function))
        return function
    return add
