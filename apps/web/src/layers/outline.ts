/** A circle of the body plan: its centre and radius in drawing units. */
export type Round = readonly [x: number, y: number, radius: number];

interface Point {
  readonly x: number;
  readonly y: number;
}

const SAMPLES = 40;

/** Twice the signed area of the triangle o, a, b: positive when the turn is to the left. */
function turn(o: Point, a: Point, b: Point): number {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

function halfHull(points: readonly Point[]): Point[] {
  const hull: Point[] = [];
  for (const point of points) {
    for (;;) {
      const last = hull.at(-1);
      const before = hull.at(-2);
      if (!last || !before || turn(before, last, point) > 0) break;
      hull.pop();
    }
    hull.push(point);
  }
  hull.pop();
  return hull;
}

/**
 * The closed outline around some circles, `offset` units outside them. Growing the radii of a convex hull of circles is
 * its exact offset curve, so nested layers stay evenly spaced. Starts at the topmost point and runs clockwise.
 */
export function outlinePoints(rounds: readonly Round[], offset: number): Point[] {
  const points = rounds.flatMap(([x, y, radius]) =>
    Array.from({ length: SAMPLES }, (_, index) => {
      const angle = (index / SAMPLES) * 2 * Math.PI;
      return { x: x + (radius + offset) * Math.cos(angle), y: y + (radius + offset) * Math.sin(angle) };
    }),
  );
  points.sort((a, b) => a.x - b.x || a.y - b.y);
  const hull = [...halfHull(points), ...halfHull([...points].reverse())];
  const top = hull.reduce((best, point, index) => (point.y < (hull[best]?.y ?? Infinity) ? index : best), 0);
  return [...hull.slice(top), ...hull.slice(0, top)];
}

/** The same outline as SVG path data. */
export function outlinePath(rounds: readonly Round[], offset: number): string {
  const points = outlinePoints(rounds, offset).map((point) => `${point.x.toFixed(1)} ${point.y.toFixed(1)}`);
  return `M${points.join('L')}Z`;
}
