import { useQuery } from '@tanstack/react-query';
import { api, type Site } from '../../api.js';
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
      <div className="table-scroll">
        <table>
          <caption>Accounts (n = {people.data ? accounts.length : 'not known'})</caption>
          <thead>
            <tr>
              <th scope="col">Sign-in name</th>
              <th scope="col">Role</th>
              <th scope="col">Units whose duty list they read</th>
            </tr>
          </thead>
          <tbody>
            {accounts.map(({ accountId, login, role, unitIds }) => (
              <tr key={accountId}>
                <th scope="row">{login}</th>
                <td>{wordsFor(ROLE_WORDS, role)}</td>
                <td>
                  {unitIds.length === 0
                    ? 'none'
                    : unitIds
                        .map((id) => site.units.find(({ unitId }) => unitId === id)?.name ?? 'unit not known')
                        .join(', ')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
