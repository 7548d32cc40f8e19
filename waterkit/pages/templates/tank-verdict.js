// May this water be used? The same rules over the same table as the command's.
//
// Conductivities are whole numbers, ten-thousandths of 1 uS/cm; factors are millionths;
// temperatures are tenths of a degree. "_25" is water closed and warmed to 25 degrees, "_shown" is
// what the meter shows, everything else is the water as it is. The order of the rules, what each
// leads to and what is to be done about it are carried in the page; here each rule has its test.

/** (a × b + plus) / c rounded down; exact however large the product is. */
function timesOver(a, b, c, plus = 0) {
  const product = BigInt(a) * BigInt(b) + BigInt(plus), by = BigInt(c);
  const quotient = product / by;
  return Number(product < 0n && quotient * by !== product ? quotient - 1n : quotient);
}

/** Whether a number is more than another one times a fraction. */
function isOver(number, other, [times, over]) {
  return number * over > other * times;
}

// The table.

/** A row at a temperature; beyond its ends the ends hold. */
function rowAt(table, row, tenths) {
  const inside = Math.min(Math.max(tenths, table.coldest * 10), table.warmest * 10);
  const degree = Math.floor(inside / 10), part = inside % 10;
  const upper = row[Math.min(degree + 1, table.warmest)];
  return timesOver(row[degree] * (10 - part) + upper * part, 1, 10);
}

/** What water conducts as it is, from the same water at 25 degrees. */
function from25(table, at25, tenths) {
  const salt = timesOver(at25 - table.pure[25], rowAt(table, table.salt, tenths), table.million);
  return Math.max(rowAt(table, table.pure, tenths) + salt, 0);
}

/** What water would conduct at 25 degrees, kept closed and warmed. */
function to25(table, actual, tenths) {
  const over = actual - rowAt(table, table.pure, tenths);
  const salt = timesOver(over, table.million, rowAt(table, table.salt, tenths));
  return Math.max(table.pure[25] + salt, 0);
}

/** What the water conducts as it is, from what a meter shows. */
function actualOf(table, meter, shown, unit, tenths) {
  let most = Math.min(shown, table.most);
  if (unit === "ppm" && meter.factor) {
    const half = Math.floor(meter.factor / 2);
    most = Math.min(timesOver(most, table.million, meter.factor, half), table.most);
  }
  const slope = rowAt(table, meter.slope, tenths);
  const turned = timesOver(most, slope, table.million, Math.floor(table.million / 2));
  return Math.max(rowAt(table, meter.offset, tenths) + turned, 0);
}

/** What a meter shows in its own unit for water that conducts so much. */
function shownBy(table, meter, actual, tenths) {
  const slope = Math.max(rowAt(table, meter.slope, tenths), table.leastSlope);
  const shown = timesOver(actual - rowAt(table, meter.offset, tenths), table.million, slope);
  return Math.max(meter.factor ? timesOver(shown, meter.factor, table.million) : shown, 0);
}

// A reading beside everything that it is compared with, at the temperature of the water.

function caseOf(table, said, known) {
  const at = (at25) => from25(table, at25, said.tenths);
  const atOutlet = said.point === "DI outlet";
  const meter = Object.hasOwn(table.meters, said.meter) ? table.meters[said.meter] : table.meters[""];
  const use = atOutlet ? table.intoTank : said.use;
  const [good25, act25] = table.limits[use];
  const open = table.open && !atOutlet;
  const air = rowAt(table, table.airInUse, said.tenths);
  const pure = rowAt(table, table.pure, said.tenths);
  const percent = use === "flood" ? known.reserve_percent : 0;
  const found = {
    table, said, known, at, atOutlet, meter, use, good25, open, air, pure,
    good: at(good25),
    act: at(act25),
    actual: actualOf(table, meter, said.shown, said.unit, said.tenths),
    airEmpty: rowAt(table, table.airEmpty, said.tenths),
    adds: air - pure,
    shown: (actual) => shownBy(table, meter, actual, said.tenths),
    feed: known.feed_25 === null || known.feed_25 <= good25 ? null : at(known.feed_25),
    outlet: known.outlet_25 === null || !open ? null : at(known.outlet_25),
    inTank: -timesOver(-said.litres, 100 + percent, 100),
  };
  return Object.assign(found, { toMake: toMake(found) }, judgedByLimits(found));
}

/** Litres that the resin has to treat for the job. */
function toMake({ said, known, atOutlet, inTank }) {
  if (atOutlet) return said.litres;
  return known.tank_l === null ? 0 : Math.max(inTank - known.tank_l, 0);
}

/** Whether it is over the limits, and whether air may have brought what is over good. */
function judgedByLimits({ actual, good, act, air, open, adds, outlet, known, good25, table }) {
  const overAct = actual > Math.max(act, open ? air : 0);
  const maybeAir = actual > good && !overAct && open && actual <= good + adds;
  const proven = outlet !== null && maybeAir && known.outlet_25 <= good25;
  return {
    overAct, maybeAir,
    explained: proven && !isOver(actual, outlet + adds, table.bounds.more),
  };
}

/** Values as the meter shows them, under names that say so. */
function shownValues(found, actual) {
  return Object.fromEntries(
    Object.entries(actual).map(([name, value]) => [`${name}_shown`, found.shown(value)]),
  );
}

// The tests: each tells what it compared where its rule applies, else null.

const when = (applies, values = {}) => (applies ? values : null);
const about = (standard) => ({ known }) => when(known.standard === standard);

/** A figure that would be the supply in mS/cm. */
function maybeThousandfold(c) {
  const near = c.feed !== null && Math.abs(c.actual * 1000 - c.feed) * 5 <= c.feed;
  return near ? shownValues(c, { feed: c.feed }) : null;
}

const spent = ({ known, atOutlet }) => known.litres_left === 0 && atOutlet;

const TESTS = {
  "seen": ({ said, table }) => {
    const seen = table.refused.filter((what) => said.seen.includes(what));
    return when(seen.length > 0, { seen });
  },
  "above-feed": (c) =>
    when(c.feed !== null && isOver(c.actual, c.feed, c.table.bounds.aboveFeed),
      shownValues(c, { feed: c.feed })),
  "like-feed": (c) => {
    const { likeFeed: [times, over], aboveFeed } = c.table.bounds;
    if (c.feed === null || isOver(c.actual, c.feed, aboveFeed)) return null;
    return when(c.actual * over >= c.feed * times, shownValues(c, { feed: c.feed }));
  },
  "above-act": (c) => when(c.overAct, shownValues(c, { act: c.act })),
  "reads-zero": ({ said }) => when(said.shown === 0),
  "below-pure": (c) => {
    const pure = c.shown(timesOver(c.pure, 9, 10));
    const low = c.said.shown > 0 && 2 * c.said.shown + c.meter.resolution < 2 * pure;
    return when(low && c.meter.known, shownValues(c, { pure: c.pure }));
  },
  "temperature-implausible": ({ said, table }) =>
    when(said.tenths < 0 || said.tenths > table.bounds.warmestBelieved),
  "compensation-unknown": ({ meter }) => when(!meter.known),
  "compensation-unusable": ({ table, meter, said }) =>
    when(rowAt(table, meter.slope, said.tenths) < table.leastSlope
      || said.tenths > meter.warmest * 10),
  "wrong-unit": ({ meter, said }) =>
    when(meter.known && said.unit !== meter.unit, { unit: meter.unit }),
  "unit-thousandfold": (c) => {
    const step = c.meter.resolution;
    const finer = step > 0 && c.said.shown % step !== 0;
    return finer || (c.open && c.actual < c.airEmpty) ? maybeThousandfold(c) : null;
  },
  "frozen": ({ said, known }) => when(said.shown === known.frozen_shown),
  "fell-by-itself": (c) => {
    const earlier = c.known.earlier_25;
    if (earlier === null || earlier <= c.good25) return null;
    const fell = c.actual * c.table.bounds.fell <= c.at(earlier);
    return when(fell, shownValues(c, { earlier: c.at(earlier) }));
  },
  "unsteady": ({ said }) => when(said.seen.includes("unsteady")),
  "rinsing": ({ said, known, atOutlet }) =>
    when(said.seen.includes("rinsing") || (atOutlet && known.rinse_l > 0),
      { litres: known.rinse_l }),
  "standard-expired": about("standard-expired"),
  "standard-overdue": about("standard-overdue"),
  "corrected-twice": about("corrected-twice"),
  "not-corrected": about("not-corrected"),
  "standard-off": about("standard-off"),
  "log-unread": ({ known }) => when(known.log_unread),
  "resin-spent": (c) => when(spent(c)),
  "resin-short": (c) => {
    const { known: { litres_left: left }, toMake: needed, table } = c;
    const [times, over] = table.bounds.resin;
    return when(left !== null && !spent(c) && left * over < needed * times, { left_l: left, needed_l: needed });
  },
  "air-or-resin": (c) =>
    when(c.maybeAir && c.known.outlet_25 === null, shownValues(c, { good: c.good, air: c.air })),
  "above-good": (c) => {
    const over = c.actual > c.good && !c.overAct && !c.explained;
    const asked = c.maybeAir && c.known.outlet_25 === null;
    return when(over && !asked, shownValues(c, { good: c.good }));
  },
  "air-explains": (c) => when(c.explained, shownValues(c, { good: c.good, air: c.air })),
  "within-good": (c) => when(c.actual <= c.good, shownValues(c, { good: c.good })),
  "air-alone": (c) => {
    const alone = c.open && Math.floor(c.airEmpty / 2) <= c.actual && c.actual <= c.air;
    return when(alone, shownValues(c, { air: c.air }));
  },
  "more-than-air": (c) =>
    when(c.open && c.air < c.actual && c.actual <= c.good, shownValues(c, { air: c.air })),
  "outlet-above-air": (c) =>
    when(c.atOutlet && c.actual > c.airEmpty, shownValues(c, { air: c.airEmpty })),
  "below-outlet": (c) =>
    when(c.outlet !== null && c.actual < c.outlet, shownValues(c, { outlet: c.outlet })),
  "above-outlet": (c) =>
    when(c.outlet !== null && isOver(c.actual, c.outlet + c.adds, c.table.bounds.more),
      shownValues(c, { outlet: c.outlet })),
  "change-mark": (c) => {
    const mark = c.known.change_25;
    if (mark === null || !c.atOutlet || c.actual < c.at(mark)) return null;
    return shownValues(c, { mark: c.at(mark) });
  },
  "above-expected": (c) => {
    const most = c.known.expected_25;
    if (most === null || !c.atOutlet || c.actual <= c.at(most)) return null;
    return shownValues(c, { expected: c.at(most) });
  },
  "limit-below-air": (c) =>
    when(c.open && c.good < c.air, shownValues(c, { good: c.good, air: c.air })),
  "coarse-meter": (c) => when(c.meter.resolution * 10 > c.shown(c.good)),
  "wants-in-tank": ({ known, said, atOutlet, inTank }) => {
    const over = known.tank_l !== null && inTank > known.tank_l;
    return when(!atOutlet && said.litres > 0 && !over, { wanted_l: inTank });
  },
  "more-than-tank": ({ known, atOutlet, inTank }) =>
    when(known.tank_l !== null && !atOutlet && inTank > known.tank_l,
      { wanted_l: inTank, holds_l: known.tank_l }),
  "maybe-thousandfold": maybeThousandfold,
  "feed-odd": (c) => {
    const odd = c.known.feed_odd_25;
    return odd === null ? null : shownValues(c, { feed: c.at(odd) });
  },
  "meter-drifts": about("meter-drifts"),
  "never-checked": about("never-checked"),
};

/** Rules that take the belief from a reading: what it would mean is not told beside them. */
const DISBELIEF = [
  "reads-zero", "below-pure", "temperature-implausible", "compensation-unknown",
  "compensation-unusable", "wrong-unit", "unit-thousandfold", "frozen", "fell-by-itself",
  "unsteady",
];

const VERDICTS = ["do not fill", "hold", "fill"];

/** Judge one reading: the verdict, the rules that led to it, worst first, and what to do. */
function judge(table, rules, said, known) {
  const found = caseOf(table, said, known);
  const applies = rules
    .map((rule) => ({ ...rule, values: TESTS[rule.key](found) }))
    .filter(({ values }) => values !== null);
  const worst = Math.min(2, ...applies.map(({ verdict }) => VERDICTS.indexOf(verdict)));
  const silent = worst === 0 || applies.some(({ key }) => DISBELIEF.includes(key));
  const led = applies.filter(({ verdict }) => !silent || verdict !== "fill");
  return {
    verdict: VERDICTS[worst],
    reasons: led.map(({ key, values }) => ({ key, values })),
    steps: [...new Set(led.flatMap(({ steps }) => steps))],
    use: found.use,
    meter: found.meter,
    good_shown: found.shown(found.good),
    act_shown: found.shown(found.act),
    air_shown: found.shown(found.air),
  };
}
