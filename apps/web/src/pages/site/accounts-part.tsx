import { useQuery } from '@tanstack/react-query';
import { api, type Site } from '../../api.js';
import { Records } from '../../shell/records.js';
import { Refusal } from '../../shell/refusal.js';
import { ROLE_WORDS, wordsFor } from '../../words.js';

/** Who may sign in, and as what. */
export function AccountsPart({ site }: { site: Site }) {
  const people = useQuery({ queryKey: ['people'], queryFn: api.people });
  const accounts = people.data?.accounts ?? [];
  return (
    <section aria-labelledby="accounts-heading">
      <h2 id="accounts-heading">Who may sign in</h2>
      <Refusal error={people.error} />
      <Records
        caption={`Accounts (n = ${people.data ? accounts.length : 'not known'})`}
        columns={[{ name: 'Sign-in name' }, { name: 'Role' }, { name: 'Units whose duty list they read' }]}
        rows={accounts.map(({ accountId, login, role, unitIds }) => ({
          key: accountId,
          cells: [
            login,
            wordsFor(ROLE_WORDS, role),
            unitIds.length === 0
              ? 'none'
              : unitIds
                  .map((id) => site.units.find(({ unitId }) => unitId === id)?.name ?? 'unit not known')
                  .join(', '),
          ],
        }))}
      />
    </section>
  );
}
