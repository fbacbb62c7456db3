// The song's keyboard, to read from and to play on by touch, mouse, or arrow keys and Enter.
import { draw_keyboard } from "./keyboard.js";
import { spoken_key } from "./notation.js";
import { say } from "./words.js";

/** @typedef {import("./keyboard.js").KeyboardPicture} KeyboardPicture */

export class PlayableKeyboard {
  /**
   * @param {HTMLElement} place
   * @param {(midi: number) => void} play
   */
  constructor(place, play) {
    this.place = place;
    this.play = play;
    this.focused = 60;
    /** @type {KeyboardPicture} */
    this.picture = { low: 48, high: 71 };
    place.tabIndex = 0;
    place.setAttribute("role", "application");
    place.addEventListener("pointerdown", (event) => this.touch(event));
    place.addEventListener("keydown", (event) => this.press(event));
    place.addEventListener("focus", () => this.name_key());
    this.width = 0;
    new ResizeObserver(([entry]) => {
      this.width = entry.contentRect.width;
      this.draw();
    }).observe(place);
  }

  /** @param {KeyboardPicture} picture */
  show(picture) {
    this.picture = picture;
    this.draw();
  }

  draw() {
    const { low, high } = this.picture;
    this.focused = Math.min(high, Math.max(low, this.focused));
    const most = innerHeight < 600 ? 84 : innerHeight < 800 ? 140 : 190;
    const drawing = draw_keyboard(this.place, { ...this.picture, felt: true, width: this.width, most });
    this.place.setAttribute("aria-label", `${say("keyboard")}. ${drawing.getAttribute("aria-label")}`);
    this.place.setAttribute("aria-description", say("keyboard_help"));
    drawing.setAttribute("role", "presentation");
    drawing.removeAttribute("aria-label");
    this.mark_focus();
  }

  mark_focus() {
    for (const key of this.place.querySelectorAll("[data-midi]")) {
      key.classList.toggle("focused", Number(key.getAttribute("data-midi")) === this.focused);
    }
  }

  /** Says where the arrow keys are. */
  name_key() {
    const spelled = this.picture.asked?.find((key) => key.midi === this.focused)?.note.replace(/-?\d+$/, "");
    const usual = this.picture.names ?? ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
    const name = spoken_key(spelled ?? usual[this.focused % 12], this.focused);
    const said = this.place.parentElement?.querySelector("[role=status]");
    if (said) said.textContent = name;
    this.mark_focus();
  }

  /** @param {PointerEvent} event */
  touch(event) {
    const midi = event.target instanceof Element ? event.target.getAttribute("data-midi") : null;
    const at = midi ?? this.key_at(event);
    if (at === null) return;
    event.preventDefault();
    this.play(Number(at));
  }

  /** The key under a mark. @param {PointerEvent} event @returns {number | null} */
  key_at(event) {
    const under = document.elementsFromPoint(event.clientX, event.clientY);
    const key = under.find((element) => element.hasAttribute("data-midi"));
    return key ? Number(key.getAttribute("data-midi")) : null;
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    const { low, high } = this.picture;
    if (event.key === "Enter") this.play(this.focused);
    else if (event.key === "ArrowRight") this.focused = Math.min(high, this.focused + 1);
    else if (event.key === "ArrowLeft") this.focused = Math.max(low, this.focused - 1);
    else if (event.key === "Home") this.focused = low;
    else if (event.key === "End") this.focused = high;
    else return;
    event.preventDefault();
    event.stopPropagation();
    this.name_key();
  }
}

