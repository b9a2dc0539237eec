import { describe, expect, it } from '@jest/globals';
import { outlinePath, outlinePoints, type Round } from './outline.js';

const finger: Round[] = [
  [0, 0, 10],
  [0, 40, 6],
];

describe('the outline of a layer', () => {
  it('keeps every point at least the offset away from the circles it goes round', () => {
    for (const point of outlinePoints(finger, 5)) {
      const clearance = Math.min(...finger.map(([x, y, radius]) => Math.hypot(point.x - x, point.y - y) - radius));
      expect(clearance).toBeGreaterThanOrEqual(5 - 1e-9);
    }
  });

  it('puts an outer layer wholly outside an inner one', () => {
    const area = (points: { x: number; y: number }[]) =>
      Math.abs(
        points.reduce((sum, point, index) => {
          const next = points[(index + 1) % points.length] ?? point;
          return sum + point.x * next.y - next.x * point.y;
        }, 0) / 2,
      );
    expect(area(outlinePoints(finger, 12))).toBeGreaterThan(area(outlinePoints(finger, 6)));
    expect(area(outlinePoints(finger, 6))).toBeGreaterThan(area(outlinePoints(finger, 0)));
  });

  it('starts at the top, so that a gap is drawn in the same place on every layer', () => {
    const [first] = outlinePoints(finger, 5);
    expect(first?.y).toBeCloseTo(-15, 5);
  });

  it('closes the path', () => {
    expect(outlinePath(finger, 0)).toMatch(/^M.*Z$/);
  });
});
