// What is known by now: the readings that the page carries and those that this phone keeps, and
// the lines under which they go into the club's folder.

const HEADER = [
  "time", "point", "conductivity [uS/cm]", "temperature [degC]", "meter", "compensation",
  "reference [degC]", "treated total [L]", "use", "vessel", "by", "note",
];

/** The club's readings and the phone's up to now, in their order. */
function readingsUntil(carried, kept, now) {
  const own = kept.map((row) => ({
    time: Date.parse(row.time), point: row.point, meter: row.meter,
    shown: whole(carried, onDisplay(carried, row)),
    at_25: row.us_cm === 0 || row.seen.length ? null : at25Of(carried, row),
  }));
  const logged = carried.readings.map((row) => ({ ...row, time: Date.parse(row.time) }));
  const minuteOf = ({ time, point, meter }) => [Math.floor(time / 60_000), point, meter].join();
  const there = new Set(logged.map(minuteOf)); // a reading handed over counts once
  const all = [...logged, ...own.filter((row) => !there.has(minuteOf(row)))];
  return all.filter(({ time }) => time <= now).sort((one, other) => one.time - other.time);
}

function whole(carried, number) {
  return Math.floor(number * carried.table.scale + 0.5);
}

function tenthsOf(celsius) {
  return Math.floor(celsius * 10 + 0.5);
}

function meterOf({ table }, name) {
  return Object.hasOwn(table.meters, name) ? table.meters[name] : null;
}

/** A reading in the unit that its meter shows. */
function onDisplay(carried, row) {
  const meter = meterOf(carried, row.meter);
  return meter && meter.factor ? row.us_cm * meter.factor / carried.table.million : row.us_cm;
}

/** What a reading of this phone says of its water at 25 degrees; null where nobody can tell. */
function at25Of(carried, row) {
  const { table } = carried, meter = meterOf(carried, row.meter);
  if (!meter || !meter.known) return null;
  const tenths = tenthsOf(row.celsius), shown = whole(carried, row.us_cm);
  return to25(table, actualOf(table, meter, shown, "uS/cm", tenths), tenths);
}

/** What is known beside a reading that is taken now. */
function knownAt(club, kept, now, point, meter) {
  const carried = withChecks(club, kept, now);
  const since = now - carried.lately;
  const rows = readingsUntil(carried, kept, now);
  const lately = rows.filter(({ time }) => time >= since);
  const believed = (row) => !FAULTS.includes(stateOf(carried, row.meter, now))
    && (carried.changed === null || dayOf(new Date(row.time)) >= carried.changed);
  const outlet = lately.filter((row) =>
    row.point === "DI outlet" && row.at_25 !== null && believed(row)).at(-1);
  const changed = carried.changed !== null && carried.changed >= dayOf(new Date(since));
  const same = lately.filter((row) => row.point === point && row.meter === meter).at(-1);
  return {
    ...carried.known,
    outlet_25: outlet ? outlet.at_25 : null,
    earlier_25: !meter || changed || !same ? null : same.at_25,
    frozen_shown: meter ? frozen(carried, rows.filter((row) => row.meter === meter)) : null,
    standard: stateOf(carried, meter, now),
    rinse_l: carried.known.rinse_known || changed ? carried.known.rinse_l : 0,
  };
}

/** What takes the belief from a meter, and what is only told of it, the worst first. */
const FAULTS = [
  "standard-off", "not-corrected", "corrected-twice", "standard-expired", "standard-overdue",
];
const DOUBTS = ["meter-drifts", "never-checked"];

/** What is wrong with a meter's check by now; without a name, with that of the worst meter. */
function stateOf({ beliefs }, meter, now) {
  const today = dayOf(new Date(now));
  if (meter) return Object.hasOwn(beliefs, meter) ? standardOn(beliefs[meter], today) : "";
  const states = Object.values(beliefs).map((belief) => standardOn(belief, today));
  return [...FAULTS, ...DOUBTS].find((state) => states.includes(state)) ?? "";
}

/** Points whose water surely differs from all others, which may well show the same. */
const WATERS = { "feed": "supply", "softened": "supply", "standard": "standard" };

/** What a meter showed at each of its last readings, of waters that differ. */
function frozen(carried, rows) {
  const last = rows.slice(-carried.frozen);
  if (last.length < carried.frozen) return null;
  const shown = new Set(last.map((row) => row.shown));
  const waters = new Set(last.map((row) => WATERS[row.point] ?? "treated"));
  return shown.size === 1 && waters.size > 1 ? [...shown][0] : null;
}

/** What is wrong with a meter's check on a day. */
function standardOn(belief, day) {
  if (belief.standard_until !== null && day > belief.standard_until) return "standard-expired";
  if (belief.checked_until !== null && day > belief.checked_until) return "standard-overdue";
  return belief.told;
}

const two = (number) => String(number).padStart(2, "0");

/** A day by the phone's clock. */
function dayOf(date) {
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

/** A moment by the phone's clock, to the minute, with its offset. */
function timeOf(date) {
  const ahead = -date.getTimezoneOffset();
  const minutes = Math.abs(ahead);
  const offset = `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
  const clock = `${two(date.getHours())}:${two(date.getMinutes())}`;
  return `${dayOf(date)}T${clock}${ahead < 0 ? "-" : "+"}${offset}`;
}

/** Readings as lines under the header of readings.csv. */
function linesOf(kept) {
  return [HEADER, ...kept.map(cellsOf)]
    .map((cells) => `${cells.map(cellText).join(",")}\n`).join("");
}

function cellsOf(row) {
  const seen = row.seen.length ? `seen: ${row.seen.join(", ")}` : "";
  return [
    row.time, row.point, sixDigits(row.us_cm), sixDigits(row.celsius), row.meter, "", "",
    row.total_l === null ? "" : sixDigits(row.total_l), row.use, "", row.by, seen,
  ];
}

function sixDigits(number) {
  return String(Number(number.toPrecision(6)));
}

function cellText(text) {
  return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** How many days ago the card was made; negative where the phone's clock is wrong. */
function ageOf(carried, now) {
  const [made, today] = [carried.made, dayOf(new Date(now))].map((day) => Date.parse(`${day}Z`));
  return Math.round((today - made) / 86_400_000);
}
