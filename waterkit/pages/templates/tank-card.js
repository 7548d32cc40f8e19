// The card at work: what is typed is read, judged and worded; readings are kept on the phone.

const carried = JSON.parse(document.getElementById("carried").textContent);
const form = document.getElementById("ask"), result = document.getElementById("result");
const byId = (id) => document.getElementById(id);
const chosen = (name) => form.querySelector(`[name="${name}"]:checked`)?.value ?? null;
const ticked = (name) => [...form.querySelectorAll(`[name="${name}"]:checked`)].map((e) => e.value);
const STORE = `waterkit readings: ${carried.club}`;

/** An element with its words and what stands in it; names stay text, whatever is in them. */
function element(tag, attributes = {}, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...inside);
  return made;
}

function told(id, words) {
  byId(`${id}-told`).textContent = words;
  const input = byId(id);
  if (input.matches("input")) input.setAttribute("aria-invalid", String(words !== ""));
  if (words && input.closest("details")) input.closest("details").open = true;
}

// What is typed.

/** A number with a decimal point or comma; null after telling what is wrong with it. */
function numberOfField(id, needed = true) {
  const text = byId(id).value.trim().replace("−", "-");
  const { low, high, unit } = carried.ranges[rangeOf(id)];
  const say = (words) => { told(id, words); return null; };
  told(id, "");
  if (text === "") return needed ? say("Write the number.") : 0;
  if (!/^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(text)) {
    return say(`'${text}' is not a number. Write digits and one mark, like ${carried.example}.`);
  }
  const mark = text.includes(",") ? "," : ".";
  if (mark !== carried.marks.decimal && /[1-9]\d*[.,]\d{3}$/.test(text)) {
    return say(`'${text}' may mean thousands: write a fraction like ${carried.example}.`);
  }
  const number = Number(text.replace(",", "."));
  if (number < low || number > high) {
    const span = `${given(low, carried.marks)} to ${given(high, carried.marks)} ${unit} can be`;
    return say(`${span}: look at the digits and at the unit.`);
  }
  return number;
}

function rangeOf(id) {
  if (id === "check-reading") return unitOf(byId("checked").value);
  return id === "reading" ? byId("unit").value : id.replace("check-", "");
}

/** What is asked, with everything wrong told beside its field; null if something is. */
function asked() {
  const job = chosen("job"), meter = chosenMeter();
  told("job", job === null ? "Choose the job." : "");
  if (byId("meter-told")) told("meter", meter === null ? "Choose the meter that was read." : "");
  const reading = numberOfField("reading"), typed = numberOfField("temperature");
  const litres = numberOfField("litres", false);
  const unit = byId("unit").value, factor = meterOf(carried, meter ?? "")?.factor;
  const meaningless = unit === "ppm" && meter && !factor;
  if (reading !== null && meaningless) {
    told("reading", `The factor of the ${meter} is not known, so its ppm mean nothing: read it in `
      + "µS/cm, or write its factor (its manual) under [[meter]] in club.toml.");
  }
  if ([job, meter, reading, typed, litres].includes(null) || meaningless) return null;
  return {
    reading, unit, celsius: celsiusOf(carried, typed), job, meter,
    point: job === "fill" ? "DI outlet" : chosen("point"),
    litres: litres * carried.volume.litres,
    seen: ticked("seen"), rinsed: ticked("rinsed").length > 0,
  };
}

/** The meter that was read; the only one where the club has but one, empty where none is known. */
function chosenMeter() {
  return form.querySelector('[name="meter"]') ? chosen("meter") : carried.unnamed;
}

/** The question in whole numbers. */
function saidOf(question) {
  return {
    point: question.point, use: question.job === "fill" ? carried.table.intoTank : question.job,
    meter: question.meter, shown: whole(carried, question.reading), unit: question.unit,
    tenths: tenthsOf(question.celsius), litres: Math.ceil(question.litres), seen: question.seen,
  };
}

// The answer.

let answered = null;

function answer(event) {
  event.preventDefault();
  const question = asked();
  if (question === null) {
    clear("Something is missing or cannot be: see the words beside the fields.");
    (form.querySelector('[aria-invalid="true"]') ?? firstTold()).focus();
    return;
  }
  const said = saidOf(question), now = Date.now();
  const known = knownAt(carried, kept(), now, said.point, said.meter);
  if (question.rinsed) known.rinse_l = 0;
  const found = judge(carried.table, carried.rules, said, known);
  const words = worded(carried, question, said, found), { steps, onPhone } = carried.words;
  show({ ...words, steps: found.steps.map((key) => onPhone[key] ?? steps[key]),
         cautions: cautionsOf(question, found) }, now);
  answered = question;
  byId("keep").hidden = false;
  result.scrollIntoView({ block: "start" });
}

function firstTold() {
  const group = [...form.querySelectorAll("fieldset")].find((each) =>
    each.querySelector(".told")?.textContent);
  return group.querySelector("input");
}

function show(words, now) {
  const head = { "fill": "Fill", "hold": "Hold", "do not fill": "Do not fill" }[words.verdict];
  const box = element("div", { class: `verdict ${words.verdict.replaceAll(" ", "-")}` },
    element("h2", {}, head), element("p", { class: "answer" }, words.answer));
  const old = oldWords(now);
  result.replaceChildren(box, ...(old ? [element("p", { class: "old" }, old)] : []),
    ...list("Why", words.reasons), ...list("Next", words.steps), factList(words.facts),
    ...list("Take care", words.cautions));
}

function cautionsOf({ job }, { steps }) {
  const { texts, of } = carried.words.cautions;
  return of[job][Number(steps.includes("change-vessel"))].map((place) => texts[place]);
}

function list(head, lines) {
  if (!lines.length) return [];
  return [element("h3", {}, head), element("ul", {}, ...lines.map((line) => element("li", {}, line)))];
}

function factList(facts) {
  return element("dl", { class: "facts" }, ...facts.map(({ label, text, remark }) =>
    element("div", {}, element("dt", {}, label),
      element("dd", {}, element("strong", {}, text), " ", element("span", { class: "remark" }, remark)))));
}

/** An answer holds for what was asked, and for nothing else. */
function clear(words) {
  answered = null;
  byId("keep").hidden = true;
  result.replaceChildren(...(words ? [element("p", {}, words)] : []));
}

function changed({ target }) {
  if (target.name === "job") showPoints();
  if (target.name === "meter") byId("unit").value = unitOf(target.value);
  if (answered) clear("Something was changed: ask again.");
}

function unitOf(meter) {
  return meterOf(carried, meter)?.unit ?? "uS/cm";
}

function showPoints() {
  const filling = chosen("job") === "fill";
  byId("points").hidden = filling;
  byId("outlet").hidden = !filling;
  if (byId("rinsed")) byId("rinsed").hidden = !filling;
}

// How old the card is.

function oldWords(now) {
  const days = ageOf(carried, now);
  if (days < 0) return "This phone's clock stands before the day on which this card was made.";
  if (days <= carried.oldAfter) return "";
  return `This card is ${days} days old: limits, litres left, and what it knows of meters and `
    + "outlet may have changed. Make a new one with 'waterkit report'.";
}

function showAge(now) {
  const days = ageOf(carried, now);
  const ago = days === 0 ? ", today" : days === 1 ? ", yesterday" : days > 1 ? `, ${days} days ago` : "";
  byId("age").textContent = `Made on ${carried.madeText}${ago}.`;
  const old = oldWords(now);
  byId("old").textContent = old;
  byId("old").hidden = !old;
}
