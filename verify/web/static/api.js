// Questions to the server. A long one reports its progress; hanging up cancels it.

const JSON_TYPE = { "Content-Type": "application/json" };

async function post(question, body, signal) {
  return fetch(`/ask/${question}`, {
    method: "POST", headers: JSON_TYPE, body: JSON.stringify(body), signal,
  });
}

/** The answer to a quick question; `{error}` if there is none. */
export async function quick(question, body, signal) {
  const response = await post(question, body, signal);
  return response.json();
}

/** The answer to a long question. `told` is called with `[done, of]`, or null while that is not known. */
export async function long(question, body, signal, told) {
  const response = await post(question, body, signal);
  if (!response.headers.get("Content-Type").includes("ndjson")) return response.json();
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return { error: "the server closed the connection" };
    const lines = (rest + value).split("\n");
    rest = lines.pop();
    for (const line of lines) {
      const message = JSON.parse(line);
      if (message.answer) return message.answer;
      if (message.failed) return { error: message.failed };
      told(message.told);
    }
  }
}

/** The schema of puzzle files, and the kinds of rules in groups. */
export async function rules() {
  return (await fetch("/rules")).json();
}

export async function examples() {
  return (await fetch("/examples")).json();
}

export async function example(name) {
  return (await fetch(`/examples/${encodeURIComponent(name)}`)).text();
}
