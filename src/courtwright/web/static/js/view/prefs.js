/** How this person likes to see things: light or dark, metres or feet. Kept in this browser. */

const KEYS = { look: "courtwright:look", unit: "courtwright:unit" };

/** @param {string} key */
function read(key) {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return "";
  }
}

/**
 * @param {string} key
 * @param {string} value
 */
function write(key, value) {
  try {
    localStorage.setItem(key, value);
  } catch {
    // private windows may refuse; the choice then lasts as long as the page
  }
}

/** What was open or switched on last time. @param {string} name */
export function remembered(name) {
  return read(`courtwright:${name}`);
}

/**
 * @param {string} name
 * @param {string} value
 */
export function remember(name, value) {
  write(`courtwright:${name}`, value);
}

class Prefs extends EventTarget {
  #look = read(KEYS.look) || "system";
  #unit = read(KEYS.unit) || "metres";

  get look() {
    return this.#look;
  }

  get feet() {
    return this.#unit === "feet";
  }

  /** @param {string} look `light`, `dark` or `system` */
  setLook(look) {
    this.#look = look;
    write(KEYS.look, look);
    document.documentElement.dataset.look = look;
  }

  /** @param {boolean} feet */
  setFeet(feet) {
    this.#unit = feet ? "feet" : "metres";
    write(KEYS.unit, this.#unit);
    this.dispatchEvent(new Event("change"));
  }
}

export const prefs = new Prefs();

/** Wire the switches in the page's footer. */
export function startPrefs() {
  document.documentElement.dataset.look = prefs.look;
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input[name=look]"))) {
    input.checked = input.value === prefs.look;
    input.addEventListener("change", () => prefs.setLook(input.value));
  }
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input[name=unit]"))) {
    input.checked = (input.value === "feet") === prefs.feet;
    input.addEventListener("change", () => prefs.setFeet(input.value === "feet"));
  }
}
