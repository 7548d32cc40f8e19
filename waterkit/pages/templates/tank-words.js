// The verdict in words: the command's own sentences, carried in the page, filled with numbers that
// are rounded and written as the command writes them.

const NBSP = "\u00a0";

/** A number with so many decimals; a tie goes to the even digit, as everywhere in these pages. */
function rounded(number, places) {
  const text = number.toFixed(places), exact = Math.abs(number).toFixed(100);
  const rest = exact.slice(exact.indexOf(".") + 1 + places);
  const tie = /^50*$/.test(rest);
  const odd = "13579".includes(text.at(-1));
  if (!tie || !odd) return withoutMinusZero(text);
  const step = number < 0 ? 1 : -1; // toFixed went away from zero
  return withoutMinusZero((Number(text) + step * 10 ** -places).toFixed(places));
}

function withoutMinusZero(text) {
  return /^-[0.]*$/.test(text) ? text.slice(1) : text;
}

/** Digits with the marks of the club's language. */
function written(digits, marks) {
  const [whole, part] = digits.replace("-", "").split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, marks.group);
  const minus = digits.startsWith("-") ? marks.minus : "";
  return minus + grouped + (part ? marks.decimal + part : "");
}

/** A number as it was typed, with six digits at most. */
function given(number, marks) {
  const power = number === 0 ? -1 : Number(number.toExponential().split("e")[1]);
  const text = rounded(number, Math.max(5 - power, 0));
  return written(text.includes(".") ? text.replace(/\.?0+$/, "") : text, marks);
}

/** Decimals in which a value is shown: those of the meter; if unknown, two for less than 1. */
function digitsOf(resolution, value, scale) {
  if (!resolution) return value < scale ? 2 : 1;
  if (resolution >= scale) return 0;
  return resolution >= Math.floor(scale / 10) ? 1 : 2;
}

/** What the meter would show, rounded down to the digits that it has. */
function shownText(carried, meter, value) {
  const { scale } = carried.table;
  const digits = digitsOf(meter.resolution, value, scale);
  const steps = Math.floor(value / (scale / 10 ** digits));
  const text = String(Math.max(steps, 1)).padStart(digits + 1, "0");
  const number = digits ? `${text.slice(0, -digits)}.${text.slice(-digits)}` : text;
  const less = steps < 1 ? "less than " : "";
  return less + written(number, carried.marks) + NBSP + carried.signs[meter.unit];
}

function litresText(carried, litres) {
  const { factor, unit, decimals } = carried.volume;
  return written(rounded(litres * factor, decimals), carried.marks) + NBSP + unit;
}

function temperatureText(carried, celsius) {
  const { fahrenheit, unit, decimals } = carried.temperature;
  const shown = fahrenheit ? (celsius + 273.15 - FAHRENHEIT_K) / (5 / 9) : celsius;
  return written(rounded(shown, decimals), carried.marks) + NBSP + unit;
}

/** 0 degF in kelvin: temperatures go through kelvin, as the command's do. */
const FAHRENHEIT_K = 233.15 + 200 / 9;

function celsiusOf(carried, typed) {
  return carried.temperature.fahrenheit ? typed * (5 / 9) + FAHRENHEIT_K - 273.15 : typed;
}

/** Words in a row: a, b and c. */
function listed(words) {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

function fill(template, values) {
  return template.replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

/** The answer, its reasons, what to do next and the figures, as the command words them. */
function worded(carried, asked, said, found) {
  return {
    verdict: found.verdict,
    answer: answerOf(carried, asked, said, found),
    reasons: found.reasons.map((reason) => reasonOf(carried, reason, found.meter)),
    steps: found.steps.map((key) => carried.words.steps[key]),
    facts: factsOf(carried, found),
  };
}

function answerOf(carried, asked, said, found) {
  const { answers, jobs, toFill } = carried.words;
  const [begun, within] = said.point === "DI outlet" ? toFill : jobs[said.use];
  const sign = carried.signs[said.unit];
  const reading = given(asked.reading, carried.marks) + NBSP + sign;
  const chosen = found.meter.known ? found.verdict : `${found.verdict}, meter not known`;
  return fill(answers[chosen], {
    Job: begun, job: within, use: found.use,
    meter: said.meter ? `the ${said.meter}` : "the meter",
    shown: `${reading} at ${temperatureText(carried, asked.celsius)}`,
    good: shownText(carried, found.meter, found.good_shown),
    act: shownText(carried, found.meter, found.act_shown),
  });
}

function reasonOf(carried, { key, values }, meter) {
  const worded = Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, valueText(carried, meter, name, value)]),
  );
  const chosen = key === "rinsing" && values.litres ? "rinsing-litres" : key;
  return fill(carried.words.reasons[chosen], worded);
}

function valueText(carried, meter, name, value) {
  if (name.endsWith("_shown")) return shownText(carried, meter, value);
  if (typeof value === "number") return litresText(carried, value);
  if (Array.isArray(value)) return listed(value.map((word) => carried.words.seen[word]));
  return carried.signs[value];
}

function factsOf(carried, found) {
  const facts = carried.words.facts.map(([name, label, remark]) => ({
    label, remark, text: shownText(carried, found.meter, found[`${name}_shown`]),
  }));
  return [...facts, ...carried.words.left];
}
