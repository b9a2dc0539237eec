import { describe, expect, it } from '@jest/globals';
import { aHospital, NURSE, refusalOf, WEARER } from '../testing/hospital.fixture.js';
import { CreateSource } from './create-source.js';
import { ListSources } from './list-sources.js';

describe('a source', () => {
  it('is entered under its pseudonym and listed', async () => {
    const hospital = aHospital();
    const source = await new CreateSource(hospital).execute({ pseudonym: ' Bed 4 A ' }, NURSE);

    expect(source).toMatchObject({ pseudonym: 'Bed 4 A', statuses: [] });
    expect(await new ListSources(hospital).execute(NURSE)).toEqual([source]);
  });

  it('is entered once, whoever asks again', async () => {
    const hospital = aHospital();
    const first = await new CreateSource(hospital).execute({ pseudonym: 'Bed 4 A' }, NURSE);

    expect(await new CreateSource(hospital).execute({ pseudonym: 'Bed 4 A' }, NURSE)).toEqual(first);
    expect(hospital.stored.sources.size).toBe(1);
  });

  it.each(['', '   ', 'x'.repeat(41), 'Bed <4>', '-'])('is refused with the pseudonym "%s"', async (pseudonym) => {
    const hospital = aHospital();

    expect(await refusalOf(() => new CreateSource(hospital).execute({ pseudonym }, NURSE))).toMatchObject({
      code: 'unacceptable-answer',
      pointer: '/pseudonym',
    });
  });

  it('is forbidden to a wearer to enter or to list', async () => {
    const hospital = aHospital();

    for (const request of [
      () => new CreateSource(hospital).execute({ pseudonym: 'Bed 4 A' }, WEARER),
      () => new ListSources(hospital).execute(WEARER),
    ]) {
      expect(await refusalOf(async () => request())).toMatchObject({ code: 'forbidden' });
    }
  });
});
