"""What happened to the account of whoever looks: told on every page of theirs until they have read it."""

import streamlit as st

from dashboard.views.frame import session
from dashboard.words.own_account import WAS_IT_YOU, news_in_words
from sql.club import account_news
from sql.club.file import club_file
from sql.folder import DataFolder


def show_account_news(folder: DataFolder) -> None:
    """Another browser, another password: when and with which device, and what to do where it was somebody else."""
    with club_file(folder) as connection:
        untold = account_news.untold(connection, session())
    if not untold:
        return
    local = folder.settings().local
    with st.container(border=True, key="hl-card-news"):
        for news in untold:
            st.markdown(news_in_words(news, local))
        st.markdown(f"{WAS_IT_YOU} [Your account](/account)")
        if st.button("I have read it", icon=":material/check:"):
            with club_file(folder) as connection:
                account_news.is_read(connection, session(), untold[-1].news)
            st.rerun()
