import { describe, expect, it } from '@jest/globals';
import { aHospital, SITE_ID, WEARER, WEARER_ID } from '../testing/hospital.fixture.js';
import { SiteKnowledge } from './site-knowledge.js';

describe('what is known of a site from a moment ago', () => {
  it('is read once within its lifetime, and again after it', async () => {
    let elapsed = 0;
    const hospital = aHospital();
    const known = new SiteKnowledge(5_000, () => elapsed);
    const read = () => hospital.run(WEARER, (tx) => known.read(tx, SITE_ID));
    await read();
    elapsed = 4_999;
    await read();
    expect(hospital.reads).toEqual(['site.read', 'site.units', 'site.confirmations']);

    elapsed = 5_000;
    await read();
    expect(hospital.reads).toHaveLength(6);
  });

  it('is forgotten when this process changed it', async () => {
    const hospital = aHospital();
    const known = new SiteKnowledge();
    const read = () => hospital.run(WEARER, (tx) => known.read(tx, SITE_ID));
    await read();
    known.forget(SITE_ID);
    await read();

    expect(hospital.reads).toHaveLength(6);
  });

  it('does not remember that somebody was absent', async () => {
    const hospital = aHospital();
    const known = new SiteKnowledge();
    const find = () => hospital.run(WEARER, (tx) => known.person(tx, SITE_ID, WEARER_ID));
    const person = hospital.stored.people.get(WEARER_ID);
    hospital.stored.people.delete(WEARER_ID);
    expect(await find()).toBeNull();

    if (person) hospital.stored.people.set(WEARER_ID, person);
    expect(await find()).toEqual(person);
  });

  it('keeps the people of two sites apart', async () => {
    const hospital = aHospital();
    const known = new SiteKnowledge();
    await hospital.run(WEARER, (tx) => known.person(tx, SITE_ID, WEARER_ID));
    hospital.stored.people.clear();

    expect(await hospital.run(WEARER, (tx) => known.person(tx, 'another-site', WEARER_ID))).toBeNull();
    expect(await hospital.run(WEARER, (tx) => known.person(tx, SITE_ID, WEARER_ID))).not.toBeNull();
  });
});
