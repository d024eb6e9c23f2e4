// How a page asks the program: by POST, so that what was typed stands in no address. An answer other than a good one
// is an error, whose message is its status.
(function () {
  async function post(path, body, type) {
    const answer = await fetch(path, { method: "POST", headers: { "Content-Type": type }, body });
    if (!answer.ok) throw new Error(String(answer.status));
    return answer;
  }
  const tell = (path, said) => post(path, JSON.stringify(said), "application/json");
  const ask = async (path, said) => (await tell(path, said)).json();

  window.ledgerAsk = { post, tell, ask };
})();
