import { describe, expect, it } from '@jest/globals';
import { ROUTES, type Route, type RouteFacts, type Ternary } from '#domain';
import { loadRulebook } from './index.js';

const book = loadRulebook();
const only = (route: Route | null, answer: Ternary = 'yes'): RouteFacts =>
  Object.fromEntries(ROUTES.map((other) => [other, other === route ? answer : 'no'])) as RouteFacts;
const codes = (routes: RouteFacts) => book.firstAid(routes).map(({ code }) => code);

describe('first aid', () => {
  it('begins with the emergency and ends with the report, whatever the route', () => {
    for (const route of [null, ...ROUTES]) {
      expect(codes(only(route))[0]).toBe('life-first');
      expect(codes(only(route)).at(-1)).toBe('report-now');
    }
  });

  it('asks for nothing else where every route is closed', () => {
    expect(codes(only(null))).toEqual(['life-first', 'leave-safely', 'report-now']);
  });

  it('gives minutes to nothing but the rinsing of an eye, and there tells the figure from its absence', () => {
    const every = book.firstAid(Object.fromEntries(ROUTES.map((route) => [route, 'yes'])) as RouteFacts);
    const timed = every.filter(({ minutes }) => minutes !== null);
    expect(timed.map(({ code, minutes, grade }) => [code, minutes, grade])).toEqual([
      ['irrigate-eye-timed', 15, 'read'],
    ]);
    expect(timed[0]?.sources.map(({ body }) => body)).toEqual(['University of Minnesota']);
    expect(timed[0]?.words).toMatch(/no authority on these infections publishes one/);
    const untimed = every.find(({ code }) => code === 'irrigate-eye');
    expect(untimed?.words).toMatch(/No duration is published for these infections/);
  });

  it('does not choose where authorities contradict each other on bleeding and squeezing', () => {
    const step = book.firstAid(only('percutaneous')).find(({ code }) => code === 'bleeding-undecided');
    expect(step?.words).toMatch(/Authorities differ/);
    expect(step?.sources.length).toBeGreaterThan(2);
    expect(step?.minutes).toBeNull();
  });

  it('treats a route that nobody can rule out, and says that it is in doubt', () => {
    const step = book.firstAid(only('mucosaEye', 'unknown')).find(({ code }) => code === 'irrigate-eye');
    expect(step?.words).toMatch(/^If an eye may have been reached – rinse the eye at once/);
  });

  it('never has an eye rinsed with disinfectant', () => {
    expect(codes(only('mucosaEye'))).toContain('no-disinfectant-in-eye');
  });

  it('names a source and a grade for every step', () => {
    const every = book.firstAid(Object.fromEntries(ROUTES.map((route) => [route, 'yes'])) as RouteFacts);
    for (const { code, sources, words } of every)
      expect([code, sources.length > 0, words.length > 0]).toEqual([code, true, true]);
  });
});
