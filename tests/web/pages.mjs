// The pages that the tests open, made by the program, and what they do in them.
import { execFileSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const folder = mkdtempSync(join(tmpdir(), "romanesca-page-"));
const program = `${process.env.ROMANESCA_BUILD}/romanesca`;

// Makes a page. @param name of the file @param text of a song; "" for none
export function make_page(name, text, ...options) {
  const file = join(folder, `${name}.html`);
  const song = join(folder, `${name}.txt`);
  if (text) writeFileSync(song, text);
  execFileSync(program, ["handout", ...(text ? [song] : []), ...options, "--out", file]);
  return file;
}

export const boats = `title: Seven Small Boats
key: G
tempo: 160

[Verse]
| G | C G | D7 | G |
tune: D2 | G2 GA B2 G2 | c2 BA B4 | A2 AB c2 A2 | B2 G2 D4 |
words: The boats go_ out in ear-_ ly light, se-ven_ small boats out of sight.
`;

export const lantern = `title: Lantern Walk
tempo: 160
key: Eb major

[Verse]
| Eb | Bb/D | Cm7 | Ab |
| Eb | Bb | Ab Bb | Eb |

[Chorus]
| Ab | Eb/G | Fm7 | Bb7 |
| Ab | Bb/Ab | Gm7 Cm7 | Fm7 Bb7 |
`;

export const hostile = `<script>alert(1)</script> & "Co"`;

// Writes a song into the lesson page, in the room Write.
export const type_song = (page, text) =>
  page.evaluate(async (text) => {
    const field = write_room.editor.field;
    field.value = text;
    field.dispatchEvent(new Event("input"));
    await write_room.read();
  }, text);

// Presses Play without a count-in and waits for the first bar.
export async function start_playing(page, { count_in = false } = {}) {
  await page.evaluate((count_in) => {
    practice.count_in = count_in;
    document.getElementById("play").click();
  }, count_in);
  await page.waitForFunction(() => practice.timeline.sounding(), { timeout: 30000 });
}

// If pages are closed while they sound, Firefox opens no more pages after a few.
export async function close(page) {
  await page.evaluate(() => practice.output.context?.close());
  await page.done();
}
