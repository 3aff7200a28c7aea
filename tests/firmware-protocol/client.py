"""A client of the rig in Python's standard library, written from PROTOCOL.md alone: proof that the page is enough.
usage: python3 client.py PORT    throws the unit forward for 300 ms and prints what was measured"""
import binascii, os, select, sys, termios, time, tty

class Rig:
    def __init__(self, path):
        self.port = os.open(path, os.O_RDWR | os.O_NOCTTY)
        tty.setraw(self.port)
        settings = termios.tcgetattr(self.port)
        settings[4] = settings[5] = termios.B500000
        termios.tcsetattr(self.port, termios.TCSANOW, settings)
        self.buffer, self.number, self.frames, self.events = b"", 0, [], []
        os.write(self.port, b"\n")

    def lines(self, seconds):
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            line, newline, rest = self.buffer.partition(b"\n")
            if newline:
                self.buffer = rest
                if len(line) > 4 and b"%04X" % binascii.crc_hqx(line[:-4], 0xFFFF) == line[-4:]:
                    yield line[:-4].decode("ascii")
            elif select.select([self.port], [], [], 0.02)[0]:
                self.buffer += os.read(self.port, 4096)

    def take(self, line):
        if line[0] == "~":
            six = [ord(character) - 48 for character in line[1:]]
            bits = "".join(f"{value:06b}" for value in six[5:])
            self.frames.append((six[0] << 12 | six[1] << 6 | six[2], six[3] & 3, [int(bits[i:i + 10], 2) for i in range(0, 180, 10)]))
        elif line[0] == "!":
            self.events.append(line[1:].split())

    def ask(self, request, tries=5):
        self.number = (self.number + 1) & 255
        text = b">%02X %s " % (self.number, request.encode())
        for _ in range(tries):
            os.write(self.port, text + b"%04X\n" % binascii.crc_hqx(text, 0xFFFF))
            for line in self.lines(0.5):
                if line.startswith("<%02X ok" % self.number):
                    return line[7:].split()
                if line.startswith("<%02X no" % self.number):
                    raise SystemExit(f"{request}: refused, {line[7:]}")
                self.take(line)
        raise SystemExit(f"{request}: no answer")

    def stay(self, seconds, frames=0):
        """So long, and on a crowded machine until so many frames came, 10 s more at most."""
        until, wanted = time.monotonic() + seconds, len(self.frames) + frames
        while time.monotonic() < until or (len(self.frames) < wanted and time.monotonic() < until + 10):
            self.ask("alive")
            for line in self.lines(0.08):
                self.take(line)

rig = Rig(sys.argv[1])
for request, tries in (("hello", 120), ("constants", 5), ("scan", 5), ("stream on", 5)):
    print(request, *rig.ask(request, tries))
for request, seconds, frames in (("alive", 0.5, 500), ("arm", 0, 0), ("coil full", 0, 0), ("feed full", 0.2, 200), ("throw forward 2000", 0.3, 300), ("release", 0.2, 200), ("off", 0, 0), ("stream off", 0, 0)):
    rig.ask(request)
    rig.stay(seconds, frames)
jumps = sum((later[0] - earlier[0]) % 262144 != 1 for earlier, later in zip(rig.frames, rig.frames[1:]))
thrown = [frame for frame in rig.frames if frame[1] == 1]
highest = max((abs(counts[0] - 512) for _, _, counts in thrown), default=0)
print(f"frames {len(rig.frames)} jumps {jumps} thrown {len(thrown)} inrush {highest} events {rig.events}")
