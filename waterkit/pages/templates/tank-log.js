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
    shown: whole(carried, onDisplay(carried, row)), at_25: at25Of(carried, row),
  }));
  const all = [...carried.readings.map((row) => ({ ...row, time: Date.parse(row.time) })), ...own];
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
function knownAt(carried, kept, now, point, meter) {
  const since = now - carried.lately;
  const rows = readingsUntil(carried, kept, now);
  const lately = rows.filter(({ time }) => time >= since);
  const outlet = lately.filter((row) => row.point === "DI outlet" && row.at_25 !== null).at(-1);
  const changed = carried.changed !== null && carried.changed >= dayOf(new Date(since));
  const same = lately.filter((row) => row.point === point && row.meter === meter).at(-1);
  return {
    ...carried.known,
    outlet_25: outlet ? outlet.at_25 : null,
    earlier_25: !meter || changed || !same ? null : same.at_25,
    frozen_shown: meter ? frozen(carried, rows.filter((row) => row.meter === meter)) : null,
    standard: meter ? standardOn(carried.beliefs[meter], dayOf(new Date(now))) : "",
  };
}

/** What a meter showed at each of its last readings, at different points. */
function frozen(carried, rows) {
  const last = rows.slice(-carried.frozen);
  if (last.length < carried.frozen) return null;
  const shown = new Set(last.map((row) => row.shown));
  const points = new Set(last.map((row) => row.point));
  return shown.size === 1 && points.size > 1 ? [...shown][0] : null;
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
