"""Reads a calendar file with the PyPI package `icalendar` in a throw-away environment and prints what
it read; it fails if the file cannot be read, or if summaries, days or counts do not survive.

    python3 tests/calendar_reference.py GARDEN.ics
"""

import subprocess
import sys
import tempfile
import venv
from pathlib import Path

READ = """
import sys, icalendar
octets = open(sys.argv[1], 'rb').read()
calendar = icalendar.Calendar.from_ical(octets)
events = [part for part in calendar.walk() if part.name == 'VEVENT']
lines = octets.decode().replace('\\r\\n ', '').split('\\r\\n')
raw = [line[8:] for line in lines if line.startswith('SUMMARY:')]
plain = [s.replace('\\\\,', ',').replace('\\\\;', ';').replace('\\\\n', chr(10)).replace('\\\\\\\\', '\\\\')
         for s in raw]
assert [str(event['SUMMARY']) for event in events] == plain, 'summaries differ'
assert len({str(event['UID']) for event in events}) == len(events), 'names are not unique'
for event in events:
    assert event['DTEND'].dt > event['DTSTART'].dt
print(len(events), 'events read,', events[0]['DTSTART'].dt, 'to', events[-1]['DTEND'].dt)
"""


def main():
    with tempfile.TemporaryDirectory() as folder:
        venv.create(Path(folder) / "env", with_pip=True)
        python = Path(folder) / "env" / "bin" / "python"
        subprocess.run([python, "-m", "pip", "install", "--quiet", "icalendar"], check=True)
        subprocess.run([python, "-c", READ, sys.argv[1]], check=True)


if __name__ == "__main__":
    main()
