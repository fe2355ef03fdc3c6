/** The form behind a chip: one dialog for a constraint, one for a point rule. Nothing changes until “Done”. */

import { figuresOf } from "../model/game.js";
import { constraintNote, pointCaution, pointNote } from "../model/words.js";
import { get } from "../net/api.js";
import { h, newId, setText } from "./dom.js";
import { fillOptions } from "./fields.js";

/** @import { Editor } from "../editor.js" */
/** @import { Constraint, ConstraintKind, Game, PointKind, PointRule, Squad, Vocabulary } from "../types.js" */
/** @import { Child } from "./dom.js" */

/**
 * @template I
 * @typedef {{ done: (item: I) => void, remove: () => void }} Ends
 */

/**
 * @param {string} label
 * @param {HTMLInputElement | HTMLSelectElement} input
 * @param {Child} [after]
 */
function line(label, input, after) {
  input.id = newId("rule");
  return h("div", { class: "line" }, h("label", { for: input.id }, label), h("span", { class: "entry" }, input, after));
}

/**
 * A dialog that closes by Escape, Cancel, Done or Remove, and gives the focus back.
 * @param {string} name
 * @param {Child[]} lines
 */
function shell(name, lines) {
  const title = h("h2", { id: newId("title") }, name);
  const remove = h("button", { type: "button", class: "danger" }, "Remove");
  const cancel = h("button", { type: "button" }, "Cancel");
  const done = h("button", { type: "submit", class: "main" }, "Done");
  const form = h("form", { method: "dialog" }, title, ...lines, h("div", { class: "ends" }, remove, cancel, done));
  const element = h("dialog", { "aria-labelledby": title.id }, form);
  cancel.addEventListener("click", () => element.close());
  return { element, form, remove, title };
}

/**
 * @param {HTMLSelectElement} select
 * @param {(ConstraintKind | PointKind)[]} kinds
 * @param {(kind: any) => string} text
 */
function fillKinds(select, kinds, text) {
  const of = (/** @type {string} */ group) =>
    kinds.filter((kind) => kind.group === group).map((kind) => h("option", { value: kind.key }, text(kind)));
  const groups = new Set(kinds.map((kind) => kind.group));
  select.replaceChildren(...[...groups].map((group) => h("optgroup", { label: group }, ...of(group))));
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
export function constraintDialog(editor, vocabulary) {
  const rule = h("select", { required: true });
  const limit = h("input", { type: "number", required: true });
  const unit = h("span", { class: "unit" });
  const cost = h("select");
  const figure = h("select");
  const note = h("p", { class: "hint" });
  const limitLine = line("number", limit, unit);
  const figureLine = line("binds", figure);
  const { element, form, remove, title } = shell("Constraint", [
    line("rule", rule),
    limitLine,
    line("breaking it costs", cost),
    figureLine,
    note,
  ]);
  const plain = (/** @type {ConstraintKind} */ kind) =>
    kind.text.replace("{limit}", "…").replaceAll(/\{e?s\}/g, kind.limit ? "s" : "");
  fillKinds(rule, vocabulary.constraints, plain);
  const kindNow = () => vocabulary.constraints.find((kind) => kind.key === rule.value) ?? vocabulary.constraints[0];

  const suit = (/** @type {Constraint | null} */ item) => {
    const kind = kindNow();
    limitLine.hidden = limit.disabled = !kind.limit;
    if (kind.limit) {
      Object.assign(limit, { min: kind.limit.least, max: kind.limit.most, step: kind.limit.whole ? 1 : "any" });
      limit.value = String(item?.limit ?? kind.limit.usual);
      unit.textContent = kind.limit.unit;
    }
    const costs = vocabulary.costs.filter((word) => kind.side === "offence" || word !== "turnover"); // no ball to lose
    fillOptions(cost, [[null, `${kind.usual_cost} (as usual)`], ...others(costs, kind.usual_cost)]);
    cost.value = item?.cost && item.cost !== kind.usual_cost ? item.cost : "";
    const bound = figuresOf(editor.doc.sides).filter(
      (name) => name !== "C" && name.startsWith("X") === (kind.side === "defence"),
    );
    const names = bound.map((name) => /** @type {const} */ ([name, name]));
    fillOptions(figure, kind.names ? names : [[null, `everyone on ${kind.side}`], ...names]);
    figure.value = item?.figure ?? figure.options[0]?.value ?? "";
    setText(/** @type {HTMLElement} */ (figureLine.querySelector("label")), kind.spares ? "names" : "binds");
    tell();
  };
  const tell = () => setText(note, constraintNote(kindNow(), figure.value || null));
  rule.addEventListener("change", () => suit(null));
  figure.addEventListener("change", tell);

  const open = (/** @type {Constraint | null} */ item, /** @type {Ends<Constraint>} */ ends) => {
    title.textContent = item ? "Change a constraint" : "Add a constraint";
    rule.value = item?.rule ?? firstUnused(vocabulary.constraints, editor.doc.constraints);
    suit(item);
    remove.hidden = !item;
    remove.onclick = () => (element.close(), ends.remove());
    form.onsubmit = () => {
      const number = kindNow().limit ? Number(limit.value) : null;
      ends.done({ rule: rule.value, limit: number, cost: cost.value || null, figure: figure.value || null });
    };
    element.showModal();
  };
  return { element, open };
}

/**
 * @param {string[]} words
 * @param {string} except
 */
function others(words, except) {
  return words.filter((word) => word !== except).map((word) => /** @type {const} */ ([word, word]));
}

/**
 * @param {{ key: string }[]} kinds
 * @param {{ rule: string }[]} items
 */
function firstUnused(kinds, items) {
  const used = new Set(items.map((item) => item.rule));
  return (kinds.find((kind) => !used.has(kind.key)) ?? kinds[0]).key;
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
export function pointDialog(editor, vocabulary) {
  const rule = h("select", { required: true });
  const points = h("input", { type: "number", min: -10, max: 10, step: 1, required: true });
  const to = h("select");
  const caution = h("p", { class: "caution", "aria-live": "polite" });
  const note = h("p", { class: "hint" });
  const { element, form, remove, title } = shell("Points", [
    line("for", rule),
    caution,
    line("points", points),
    line("to the", to),
    note,
  ]);
  fillKinds(rule, vocabulary.points, (kind) => kind.text);
  const kindNow = () => vocabulary.points.find((kind) => kind.key === rule.value) ?? vocabulary.points[0];

  const suit = (/** @type {PointRule | null} */ item) => {
    const kind = kindNow();
    points.value = String(item?.points ?? kind.usual);
    fillOptions(to, [[null, `${kind.side} (as usual)`], ...others(["offence", "defence"], kind.side)]);
    to.value = item?.to && item.to !== kind.side ? item.to : "";
    tell();
  };
  /** @type {string[]} */
  let here = [];
  const tell = () => {
    setText(caution, pointCaution(kindNow(), here));
    caution.hidden = !caution.textContent;
    setText(note, pointNote(kindNow()));
  };
  rule.addEventListener("change", () => suit(null));

  const open = (/** @type {PointRule | null} */ item, /** @type {Ends<PointRule>} */ ends) => {
    title.textContent = item ? "Change a point rule" : "Add a point rule";
    const proposed = vocabulary.points.filter((kind) => !kind.caution); // what needs care is the coach's own choice
    rule.value = item?.rule ?? firstUnused(proposed, editor.doc.points);
    suit(item);
    whoIsHere().then((levels) => ((here = levels), tell()));
    remove.hidden = !item;
    remove.onclick = () => (element.close(), ends.remove());
    form.onsubmit = () => {
      const side = to.value === "offence" || to.value === "defence" ? to.value : null;
      ends.done({ rule: rule.value, points: Number(points.value), to: side });
    };
    element.showModal();
  };
  return { element, open };
}

/** The levels of the players who are here; nothing where the squad is not known. */
async function whoIsHere() {
  const { ok, body } = await get("/api/squad");
  /** @type {Squad | null} */
  const squad = ok ? body.squad : null;
  return squad ? squad.players.filter((player) => player.here).map((player) => player.level ?? squad.level) : [];
}
