// Checks of a meter that this phone keeps: the same test as the command's.

/** How much better potassium chloride conducts in warmer water, beside another temperature. */
function potassiumChloride(celsius) {
  return (0.009385 * celsius + 2.533) * celsius + 81.17;
}

/** What a meter that was held into its standard tells about itself. */
function checkTells(carried, row) {
  const { table, check } = carried, meter = meterOf(carried, row.meter);
  const standard = carried.beliefs[row.meter].standard_us_cm;
  if (!meter || standard === null) return "";
  const actual = standard * potassiumChloride(row.celsius) / potassiumChloride(25);
  const plain = { ...meter, factor: 0 }, tenths = tenthsOf(row.celsius);
  const should = shownBy(table, plain, whole(carried, actual), tenths) / table.scale;
  const agrees = (other) => Math.abs(row.us_cm - other) <= check.agrees * other;
  if (should <= 0 || agrees(should)) return "";
  const factor = should / actual;
  if (Math.max(factor, 1 / factor) > check.telling) {
    if (agrees(actual)) return "not-corrected";
    if (agrees(should * factor)) return "corrected-twice";
  }
  return "standard-off";
}

const DRIFTS = "meter-drifts";

/** What is carried, with the last check of each meter that the phone keeps. */
function withChecks(carried, kept, now) {
  const beliefs = { ...carried.beliefs };
  const checks = kept.filter((row) => row.point === "standard"
    && Object.hasOwn(beliefs, row.meter) && Date.parse(row.time) <= now);
  for (const row of checks.sort((one, other) => Date.parse(one.time) - Date.parse(other.time))) {
    const until = dayOf(new Date(Date.parse(row.time) + carried.check.holds * 86_400_000));
    beliefs[row.meter] = {
      ...beliefs[row.meter], checked_until: until,
      told: checkTells(carried, row) || (beliefs[row.meter].told === DRIFTS ? DRIFTS : ""),
    };
  }
  return { ...carried, beliefs };
}
