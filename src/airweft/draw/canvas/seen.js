// From where the piece is seen, in words.

const SIDES = ["front", "right", "back", "left"];

// From where the piece is seen, in the words of the printed pictures.
export function seenWords(around, above) {
  if (above > 75) return "from straight above";
  if (above < -75) return "from straight below";
  const turn = ((around % 360) + 360) % 360;
  const main = Math.round(turn / 90) % 4;
  const off = ((turn - 90 * main + 540) % 360) - 180;
  const beside = SIDES[(main + (off > 0 ? 1 : 3)) % 4];
  const height = above > 0 ? "above" : "below";
  const little = [];
  let where = `from the ${SIDES[main]}`;
  if (Math.abs(off) > 35) {
    const [first, second] = main % 2 === 0 ? [SIDES[main], beside] : [beside, SIDES[main]];
    where = `from the ${first} ${second} corner`;
  } else if (Math.abs(off) > 8) {
    little.push(`from the ${beside}`);
  }
  if (Math.abs(above) > 8 && Math.abs(above) <= 35) little.push(height);
  const more = little.length ? `, a little ${little.join(" and ")}` : "";
  return `${where}${more}${Math.abs(above) > 35 ? `, from ${height}` : ""}`;
}
