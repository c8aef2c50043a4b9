"""The local page: ask about a puzzle in a browser.

`app` answers requests and keeps strangers out, `workers` runs the questions in processes of their
own that can be stopped at any moment, `questions` are the questions, each a thin wrapper around a
function of the library, and `static` is the page: plain HTML, CSS and ES modules, with nothing
loaded from elsewhere.
"""
