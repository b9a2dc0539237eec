import { describe, expect, it } from '@jest/globals';
import { PartField, PartListField, WordsField } from './fields.js';
import { respond } from './shape.js';

class PartResponse {
  @WordsField()
  readonly words!: string;
}

class BaseResponse {
  @WordsField()
  readonly id!: string;
}

class WholeResponse extends BaseResponse {
  @PartField(() => PartResponse, { nullable: true })
  readonly part!: PartResponse | null;

  @PartListField(() => PartResponse, { optional: true })
  readonly parts?: readonly PartResponse[];
}

describe('a response', () => {
  it('holds the declared fields of every depth and nothing else', () => {
    const record = {
      id: '1',
      secret: 'a name',
      part: { words: 'one', secret: 'a name' },
      parts: [{ words: 'two', secret: 'a name' }],
    };

    expect(respond(WholeResponse, record)).toEqual({ id: '1', part: { words: 'one' }, parts: [{ words: 'two' }] });
  });

  it('keeps null apart from absent', () => {
    expect(Object.keys(respond(WholeResponse, { id: '1', part: null }))).toEqual(['id', 'part']);
  });
});
