import type { ReactElement } from 'react';
import type { QuoteFace } from '../../lib/report/quote/quoteFace';

function Texts({ name, texts, list }: { name: string; texts: readonly string[]; list?: boolean }): ReactElement | null {
  if (texts.length === 0) return null;
  return (
    <div>
      <h3>{name}</h3>
      {list === true ? (
        <ul>
          {texts.map((text, i) => (
            <li key={`${i} ${text}`}>{text}</li>
          ))}
        </ul>
      ) : (
        texts.map((text, i) => <p key={`${i} ${text}`}>{text}</p>)
      )}
    </div>
  );
}

/** The customer's sheet: what is printed and saved. */
export function Paper({ face }: { face: QuoteFace }): ReactElement {
  return (
    <article className="quote-paper" aria-label="The sheet">
      <h2>{face.title}</h2>
      <div className="quote-parties">
        <Texts name="From" texts={face.from} />
        <Texts name="For" texts={face.to} />
      </div>
      <dl>
        {face.facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <table>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col" className="number">
              How much
            </th>
            <th scope="col" className="number">
              Price
            </th>
          </tr>
        </thead>
        <tbody>
          {face.lines.map(({ text, quantity, amount }, i) => (
            <tr key={`${i} ${text}`}>
              <td>{text}</td>
              <td className="number">{quantity}</td>
              <td className="number">{amount}</td>
            </tr>
          ))}
        </tbody>
        <tbody>
          {face.sums.map(({ name, amount, strong }) => (
            <tr key={name} data-strong={strong}>
              <th scope="row" colSpan={2}>
                {name}
              </th>
              <td className="number">{amount}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <Texts name="How sure this is" texts={face.expected} />
      <Texts name="Conditions" texts={face.conditions} list />
      <Texts name="Remarks" texts={face.remarks} />
      <div className="quote-scope">
        {face.scope.map((text) => (
          <p key={text}>{text}</p>
        ))}
      </div>
    </article>
  );
}
