// Readings kept on this phone: shown, copied, shared, and deleted only after asking.

let memory = []; // where the phone refuses to keep anything
let refused = false;

/** All that the phone holds under the club's name. What cannot be read there is left alone. */
function stored() {
  if (refused) return memory;
  try {
    const rows = JSON.parse(localStorage.getItem(STORE) ?? "[]");
    if (Array.isArray(rows)) return rows;
  } catch {
    // told below
  }
  refuse();
  return memory;
}

/** The readings on this phone; what is no reading of this card neither counts nor is shown. */
function kept() {
  return stored().filter(isReading);
}

const isText = (value) => typeof value === "string";

function isReading(row) {
  if (row === null || typeof row !== "object") return false;
  const { time, point, meter, shown, use, by, seen, us_cm, celsius, total_l } = row;
  return [time, point, meter, shown, use, by].every(isText) && Array.isArray(seen)
    && seen.every(isText) && MOMENT.test(time) && Number.isFinite(Date.parse(time))
    && [us_cm, celsius].every(Number.isFinite) && (total_l === null || Number.isFinite(total_l));
}

const MOMENT = /^\d{4}-\d\d-\d\dT\d\d:\d\d[+-]\d\d:\d\d$/;

/** Keep these readings, with whatever else stands there already. */
function keepAll(rows) {
  memory = [...stored().filter((row) => !isReading(row)), ...rows];
  try {
    if (!refused) localStorage.setItem(STORE, JSON.stringify(memory));
  } catch {
    refuse();
  }
  showKept();
}

function refuse() {
  refused = true;
  byId("refused").hidden = false;
}

function keep() {
  const total = numberOfField("total", false);
  if (total === null) { byId("total").focus(); return; }
  const { reading, unit, celsius, point, job, meter, seen } = answered;
  const factor = meterOf(carried, meter)?.factor ?? 0;
  if (unit === "ppm" && !factor) {
    say("ppm of a meter that is not known cannot be written down.");
    return;
  }
  keepAll([...kept(), {
    time: timeOf(new Date()), point, meter, seen, celsius,
    us_cm: unit === "ppm" ? reading * carried.table.million / factor : reading,
    shown: `${given(reading, carried.marks)}${NBSP}${carried.signs[unit]}`,
    total_l: byId("total").value.trim() === "" ? null : total * carried.volume.litres,
    use: job === "fill" ? "" : job, by: byId("by").value.trim().replace(/^[=+\-@\s]+/, ""),
  }]);
  byId("keep").hidden = true;
  for (const id of ["reading", "litres", "total"]) byId(id).value = "";
  for (const tick of form.querySelectorAll('[type="checkbox"]')) tick.checked = false;
  for (const part of form.querySelectorAll("details")) part.open = false;
  say("Kept on this phone.");
}

/** Keep a check: from now on the meter is believed by what it tells. */
function keepCheck(event) {
  event.preventDefault();
  const reading = numberOfField("check-reading"), typed = numberOfField("check-temperature");
  if (reading === null || typed === null) return;
  const meter = byId("checked").value, unit = unitOf(meter), celsius = celsiusOf(carried, typed);
  const us_cm = unit === "ppm" ? reading * carried.table.million / meterOf(carried, meter).factor : reading;
  keepAll([...kept(), {
    time: timeOf(new Date()), point: "standard", meter, seen: [], celsius, us_cm,
    shown: `${given(reading, carried.marks)}${NBSP}${carried.signs[unit]}`,
    total_l: null, use: "", by: "",
  }]);
  clear("A meter was checked: ask again.");
  byId("check").reset();
  const state = stateOf(withChecks(carried, kept(), Date.now()), meter, Date.now());
  byId("check-said").textContent = FAULTS.includes(state)
    ? `Kept. ${carried.words.reasons[state]}` : "Kept: the meter agrees with its standard.";
}

function showCheckUnit() {
  byId("check-unit").textContent = carried.signs[unitOf(byId("checked").value)];
}

function say(words) {
  byId("said").textContent = words;
}

function showKept() {
  const rows = kept();
  byId("rows").replaceChildren(...rows.map(rowShown));
  byId("lines").value = linesOf(rows);
  byId("foreign").hidden = stored().length === rows.length;
  byId("none").hidden = rows.length > 0;
  byId("with").hidden = rows.length === 0;
}

function rowShown(row, place) {
  const at = row.time.slice(0, 16).replace("T", " ");
  const about = [row.point, `${row.shown} at ${temperatureText(carried, row.celsius)}`, row.meter,
    row.use, row.by, ...row.seen];
  const button = element("button", { type: "button" }, "Take out");
  button.append(element("span", { class: "spoken" }, ` the reading of ${at}`));
  button.addEventListener("click", () =>
    ask(`Take the reading of ${at} out? It is not kept anywhere else.`,
      () => keepAll(kept().filter((_, other) => other !== place))));
  return element("li", {}, element("p", {}, element("strong", {}, at), element("br"),
    about.filter(Boolean).join(", ")), button);
}

// What cannot be undone is asked first.

function ask(question, act) {
  byId("question").textContent = question;
  byId("yes").onclick = () => { act(); say("Deleted."); };
  byId("sure").showModal();
}

async function copy() {
  try {
    await navigator.clipboard.writeText(byId("lines").value);
    say("Copied: paste the lines into 'waterkit log --from -', or into a message.");
  } catch {
    byHand();
  }
}

async function share() {
  try {
    await navigator.share({ title: "readings", text: byId("lines").value });
    say("Handed over. They stay on this phone until they are deleted.");
  } catch (error) {
    if (error.name !== "AbortError") byHand();
  }
}

function byHand() {
  byId("lines").focus();
  byId("lines").select();
  say("The lines below are marked: copy them by hand.");
}

function begin() {
  document.documentElement.classList.add("asks");
  document.querySelector("main").after(document.querySelector("nav.pages"));
  for (const part of document.querySelectorAll(".phone")) part.hidden = false;
  byId("keep").hidden = true;
  form.addEventListener("submit", answer);
  form.addEventListener("input", changed);
  byId("keep").addEventListener("submit", (event) => { event.preventDefault(); keep(); });
  byId("check")?.addEventListener("submit", keepCheck);
  byId("checked")?.addEventListener("change", showCheckUnit);
  if (byId("checked")) showCheckUnit();
  byId("copy").addEventListener("click", copy);
  byId("share").addEventListener("click", share);
  byId("share").hidden = !navigator.share;
  byId("empty").addEventListener("click", () =>
    ask("Delete all readings from this phone? Copy or share them first.", () => keepAll([])));
  document.addEventListener("visibilitychange", () => showAge(Date.now()));
  byId("unit").value = unitOf(chosenMeter());
  showPoints();
  showAge(Date.now());
  showKept();
}

begin();
